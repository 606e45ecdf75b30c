import './style.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill, type SillPlank } from '~/components/sill/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { barrelBy, club, logOf, placeBy, reservationsOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { LogLines } from '../parts/log-lines.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import { PullPart } from '../parts/pull-part.tsx';
import { TimeLine } from '../parts/time-line.tsx';
import { isPulled } from '../words/glass.ts';
import { holdAct } from '../words/hold.ts';
import { nextAct } from '../words/next-act.ts';
import { capital, counted } from '../words/numbers.ts';
import { isOpen } from '../words/reserve.ts';
import { daysSince, nearDayOf } from '../words/time.ts';
import { Advice } from './advice.tsx';
import { Facts } from './facts.tsx';
import { BarrelLine, nameColumn } from './line.tsx';
import { type TendKind, TendSheet } from './tend-sheet.tsx';

/** One barrel: what is in it now, what it needs, what it held. */
export default function BarrelPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const go = useGo();
  const [tends, setTends] = useState<TendKind | null>(null);
  const [said, setSaid] = useState('');
  const log = logOf(barrel.id).value ?? [];
  const worksWith = mayWork({ barrel: barrel.id, shares: barrel.contents?.sharers ?? [] });
  const may = {
    tend: isKeeper() || club.value?.members_may_tend === true || isOwner(barrel),
    settle: isKeeper(),
    fill: isKeeper() || barrel.owners.some((share) => share.person === myId()),
    fillNext: barrel.state === 'held' && holdAct(barrel, moment()) === 'fill',
    decant: barrel.contents?.kind === 'fill' && worksWith && isPulled(log, barrel.contents.stay),
  };
  const next = nextAct(barrel, may);
  const planks = sillPlanks(barrel, next, {
    taste: () => go(`/barrels/${barrel.id}/taste`),
    tend: setTends,
    settle: () => go(`/barrels/${barrel.id}/trouble`),
  });
  return (
    <Screen
      title={barrel.name}
      glow="left"
      announce={said}
      top={{ back: { href: '/barrels', label: 'Barrels' }, right: <Fresh /> }}
      sill={<Sill {...planks} />}
    >
      <div class="barrel">
        <div class="barrel__picture" style={{ '--name-column': nameColumn(barrel.name) }}>
          <BarrelLine barrel={barrel} />
        </div>
        <div class="barrel__words">
          <Section>
            <Advice barrel={barrel} />
            {said && (
              <p class="ok gap3" aria-hidden="true">
                {said}
              </p>
            )}
            <PullPart barrel={barrel} />
            {barrel.contents?.kind === 'fill' && (worksWith || isOwner(barrel)) && (
              <div class="barrel__acts gap4">
                <Press href={`/barrels/${barrel.id}/pull`}>Pull it?</Press>
                {worksWith && !may.decant && <Press href={`/barrels/${barrel.id}/decant`}>Decant it</Press>}
              </div>
            )}
            <div class="gap5">
              <BarrelTimeLine barrel={barrel} />
            </div>
            {may.tend && barrel.contents && barrel.state !== 'retired' && (
              <div class="barrel__acts gap5">
                {barrel.state === 'held' && next.act !== 'top_up' && (
                  <Press onPress={() => setTends('top_up')}>Top up</Press>
                )}
                {barrel.state === 'filled' && <Press onPress={() => setTends('all_well')}>All well</Press>}
                {barrel.state === 'filled' && next.act === 'taste' && (
                  <Press onPress={() => setTends('top_up')}>Top up</Press>
                )}
                {barrel.state === 'held' && <Press href={`/barrels/${barrel.id}/hold`}>Wet hold</Press>}
                {barrel.state === 'held' && may.fill && (
                  <Press href={`/barrels/${barrel.id}/mix`}>Fill it</Press>
                )}
                <Press href={`/barrels/${barrel.id}/readings`}>Take a reading</Press>
              </div>
            )}
          </Section>
          <WoodWork barrel={barrel} mayWork={may.fill} />
          <Facts barrel={barrel} />
          <Section class="gap6">
            <div class="row">
              <h2 class="lead b">Log</h2>
              <a class="link" href={`/barrels/${barrel.id}/log`}>
                The whole log
              </a>
            </div>
          </Section>
          <LogLines barrel={barrel.id} most={6} />
        </div>
      </div>
      {tends && (
        <TendSheet
          barrel={barrel}
          kind={tends}
          onClose={() => setTends(null)}
          onSaid={(words) => {
            setTends(null);
            setSaid(words);
            scrollTo(0, 0);
          }}
        />
      )}
    </Screen>
  );
}

function isOwner(barrel: ShownBarrel): boolean {
  const me = myId();
  return (
    barrel.owners.some((share) => share.person === me) ||
    (barrel.contents?.sharers.some((share) => share.person === me) ?? false)
  );
}

interface Acts {
  taste: () => void;
  tend: (kind: TendKind) => void;
  settle: () => void;
}

function sillPlanks(
  barrel: ShownBarrel,
  next: ReturnType<typeof nextAct>,
  acts: Acts,
): { left: SillPlank; act?: SillPlank; right: SillPlank } {
  const onPress = {
    taste: acts.taste,
    water_changed: () => acts.tend('water_changed'),
    top_up: () => acts.tend('top_up'),
    settle: acts.settle,
  };
  const href: Partial<Record<typeof next.act, string>> = {
    reserve: `/reserve?barrel=${barrel.id}`,
    fill: `/barrels/${barrel.id}/mix`,
    taste: `/barrels/${barrel.id}/taste`,
    cure: `/barrels/${barrel.id}/curing`,
    decant: `/barrels/${barrel.id}/decant`,
    hold: `/barrels/${barrel.id}/hold`,
    back: `/barrels/${barrel.id}/repair`,
  };
  const where = href[next.act];
  const middle: SillPlank | undefined =
    next.act === 'none'
      ? undefined
      : where !== undefined
        ? { label: next.label, href: where }
        : { label: next.label, onPress: onPress[next.act as keyof typeof onPress] };
  return {
    left: { label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' },
    ...(middle ? { act: middle } : {}),
    right: { label: 'Log', href: `/barrels/${barrel.id}/log` },
  };
}

/** Where its wood, its water and its place are seen to. */
function WoodWork({ barrel, mayWork }: { barrel: ShownBarrel; mayWork: boolean }) {
  if (!mayWork) return null;
  return (
    <Section class="gap5">
      {
        <div class="barrel__acts">
          {barrel.state === 'empty' && <Press href={`/barrels/${barrel.id}/hold`}>Hold it wet</Press>}
          {barrel.state === 'empty' && <Press href={`/barrels/${barrel.id}/curing`}>Cure it</Press>}
          <Press href={`/barrels/${barrel.id}/repair`}>Repair, move, lend, tag</Press>
          {isKeeper() && <Press href={`/barrels/${barrel.id}/register`}>Its register</Press>}
        </div>
      }
    </Section>
  );
}

/** The stave seen flat: what it held, now and what is booked. */
function BarrelTimeLine({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const first = barrel.timeline[0];
  if (!first) return <Note>Nothing has happened in it yet.</Note>;
  const from = Date.parse(first.from);
  const fills = barrel.timeline.filter((stay) => stay.kind === 'fill').length;
  const { contents } = barrel;
  const where =
    contents?.kind === 'fill'
      ? `day ${daysSince(Date.parse(contents.started_at), now) + 1}`
      : (placeBy(barrel.place)?.name ?? '');
  return (
    <>
      <h2 class="sr">What it held</h2>
      <TimeLine timeline={barrel.timeline} booked={reservationsOf(barrel.id).filter(isOpen)} from={from} />
      <div class="row note">
        <span>
          {fills === 0
            ? `No fill yet; here since ${nearDayOf(from, now)}`
            : `${capital(counted(fills, 'fill', 'fills'))} since ${nearDayOf(from, now)}`}
        </span>
        <span class="due">{where}</span>
      </div>
    </>
  );
}
