import './style.css';
import '../parts/acts.css';
import '../curing/style.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { Sign } from '~/api/types.ts';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { rangeText } from '~/components/range/format.ts';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { SideView } from '~/components/side-view/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { WaterLine } from '~/components/water-line/index.tsx';
import { Brand, Mark, Note, Say, Title } from '~/components/words/index.tsx';
import { barrelBy, logOf, placeBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { usualStaveMm } from '~/science/holding.ts';
import { litres as litresOf } from '~/science/units.ts';
import { HoldDrawing } from '../lessons/hold.tsx';
import { SolutionDrawing } from '../lessons/solution.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { halfMarkMm } from '../parts/half-mark.ts';
import { didWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { isInSolution, pictureOf, stateSentence } from '../words/barrel.ts';
import { lateLines } from '../words/care.ts';
import {
  dipWords,
  gateWords,
  type HoldPlank,
  holdAct,
  holdAdvice,
  holdPlanks,
  isSoundSign,
  topUpWords,
  turnWords,
  waterAge,
} from '../words/hold.ts';
import { waterDepthWords } from '../words/inside.ts';
import { litres, unit } from '../words/numbers.ts';
import { type HoldNow, holdNow } from './level.ts';
import { BeginSheet, ChangeSheet, DrainSheet, SolutionSheet, StripSheet, TopUpSheet } from './sheets.tsx';

const SHEETS = {
  begin: BeginSheet,
  change: ChangeSheet,
  'top-up': TopUpSheet,
  solution: SolutionSheet,
  strip: StripSheet,
  drain: DrainSheet,
} as const;
type Open = keyof typeof SHEETS;

/** A barrel held in water between fills: how old the water is, where it stands, what to do. */
export default function HoldPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const log = logOf(barrel.id).value ?? [];
  const [open, setOpen] = useState<Open | null>(null);
  const [said, setSaid] = useState('');
  const [sign, setSign] = useState<Sign | undefined>();
  const mayWork = isKeeper() || barrel.owners.some((share) => share.person === myId());
  const isHold = barrel.contents?.kind === 'hold';
  const inside = isHold ? holdNow(barrel, log, placeBy(barrel.place), now.now_ms) : null;
  const isSolution =
    isInSolution(barrel) ||
    log.some((line) => line.id === barrel.contents?.stay && line.body?.is_solution === true);
  const half_mm = inside?.half_mm ?? halfMarkMm(barrel);
  const Opened = open ? SHEETS[open] : null;
  const gate = gateWords(barrel, now);
  const act = holdAct(barrel, now);
  const planks = holdPlanks(act, isSolution, mayWork);
  const sheet = (label: string, name: Open) => ({ label, onPress: () => setOpen(name) });
  const plank: Record<HoldPlank, { label: string; onPress?: () => void; href?: string }> = {
    solution: sheet('Solution renewed', 'solution'),
    change: sheet('Water changed', 'change'),
    fill: { label: 'Fill it next', href: `/reserve?barrel=${barrel.id}` },
    'top-up': sheet('Top up', 'top-up'),
    dip: sheet('Dip it', 'top-up'),
  };
  const trouble = { label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' } as const;
  return (
    <Screen
      title={`Wet hold: ${barrel.name}`}
      announce={said}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        !isHold ? (
          <Sill
            left={trouble}
            {...(mayWork ? { act: { label: 'Hold it wet', onPress: () => setOpen('begin') } } : {})}
          />
        ) : (
          <Sill
            left={trouble}
            {...(planks.lit ? { act: plank[planks.lit] } : {})}
            right={plank[planks.right]}
          />
        )
      }
    >
      {said && (
        <Section>
          <p class="ok tick">{said}</p>
        </Section>
      )}
      {sign && !isSoundSign(sign) && (
        <Section>
          <Notice
            tone="red"
            act={<Press href={`/barrels/${barrel.id}/trouble?kind=off_smell&sign=${sign}`}>What to do</Press>}
          >
            It does not smell as it should. Keep spirit out of it.
          </Notice>
        </Section>
      )}
      {isHold && inside ? (
        <Held barrel={barrel} inside={inside} isSolution={isSolution} />
      ) : (
        <Section>
          <Title>Hold {barrel.name} wet</Title>
          <p class="gap3">{stateSentence(barrel, now)}</p>
          {barrel.contents?.kind === 'fill' && mayWork && (
            <div class="gap4">
              <Notice tone="red" act={<Press href={`/barrels/${barrel.id}/decant`}>Decant it</Press>}>
                As far as this phone knows there is a fill in it: decant that first. If somebody has, hold it
                wet all the same; the keeper places it.
              </Notice>
            </div>
          )}
          {!barrel.contents && (
            <p class="gap3">
              {unit(half_mm, 'mm')} at the bung is half of {litres(barrel.capacity_l)}.
            </p>
          )}
        </Section>
      )}
      <Section class="gap5">
        {isHold && isSolution ? (
          <LessonFor name="solution" drawing={<SolutionDrawing />} />
        ) : (
          <LessonFor name="hold" drawing={<HoldDrawing />} />
        )}
        {gate && (
          <p class={barrel.sulphite?.is_clear ? 'gap4 ok' : 'gap4'} role="status">
            {gate}
          </p>
        )}
        {mayWork && (
          <div class="acts gap4">
            {isHold && planks.lit === 'fill' && (
              <Press onPress={() => setOpen('change')}>Water changed</Press>
            )}
            {(isHold || !barrel.contents) && !isSolution && (
              <Press onPress={() => setOpen('solution')}>Holding solution</Press>
            )}
            {barrel.sulphite && <Press onPress={() => setOpen('strip')}>Strip test</Press>}
            {isHold && <Press onPress={() => setOpen('drain')}>Drained</Press>}
          </div>
        )}
      </Section>
      {Opened && (
        <Opened
          barrel={barrel}
          half_mm={half_mm}
          isSolution={isSolution}
          onClose={() => setOpen(null)}
          onKept={(what, found) => {
            setOpen(null);
            setSaid(didWords(what));
            setSign(found);
            scrollTo(0, 0);
          }}
        />
      )}
    </Screen>
  );
}

function Held({ barrel, inside, isSolution }: { barrel: ShownBarrel; inside: HoldNow; isSolution: boolean }) {
  const now = moment();
  const age = waterAge(barrel.water?.changed_at ?? barrel.contents!.started_at, now);
  const isLate = lateLines(barrel.care, now).some((line) => line.task === 'water_change');
  const bilge_mm = 10 * barrel.shape.bilge_diameter_cm;
  const volume = rangeText({ low: inside.low_l, high: inside.high_l, unit: 'L' });
  const depth = dipWords(inside.low_mm, inside.high_mm);
  const level = { low: inside.low_mm / bilge_mm, high: inside.high_mm / bilge_mm };
  const shown = { volume_l: { low: inside.low_l, mid: 0, high: inside.high_l }, abv_pct: null };
  return (
    <div class="hold">
      <div class="hold__picture">
        <WaterLine
          barrel={{
            ...pictureOf(barrel, now.now_ms),
            levelLow: level.low,
            levelHigh: level.high,
            volumeLowL: inside.low_l,
            volumeHighL: inside.high_l,
          }}
          side="right"
          radius={152}
          above={
            <>
              <Brand as="h1" big tone={barrel.troubles.length > 0 ? 'red' : undefined}>
                {barrel.name}
              </Brand>
              <Mark tone={isLate ? 'red' : undefined}>{age.mark}</Mark>
              <p class="lead">
                {isSolution ? age.under.replace('water was changed', 'solution was made') : age.under}
              </p>
            </>
          }
          below={
            <>
              <p class="reck hold__level">{volume}</p>
              <Note>
                {waterDepthWords(barrel, { ...shown, level: { low: level.low, mid: 0, high: level.high } })}
              </Note>
              <Note>{turnWords(barrel)}</Note>
            </>
          }
        />
      </div>
      <div>
        <Section>
          <Say>{holdAdvice(barrel, inside.half_mm, now, isSolution)}</Say>
          <div class="hold__dip gap4">
            <SideView
              bilge={barrel.shape.bilge_diameter_cm}
              head={barrel.shape.head_diameter_cm}
              length={barrel.shape.length_cm}
              stave={(barrel.shape.stave_mm ?? usualStaveMm(litresOf(barrel.capacity_l))) / 10}
              dipLowMm={inside.low_mm}
              dipHighMm={inside.high_mm}
              halfMm={inside.half_mm}
              label={`${barrel.name} cut lengthways: the rod is wet to ${depth}; the half mark is at ${inside.half_mm} mm.`}
            />
            <div class="hold__dip-words">
              {!isSolution && (
                <p class="note">
                  <b class="ink">{unit(inside.half_mm, 'mm')}</b> on {barrel.name}’s own dip strip is{' '}
                  {litres(inside.half_l)}, the half mark.
                </p>
              )}
              <p class="note">Now {depth}, calculated.</p>
            </div>
          </div>
          {!isSolution && <Note>{topUpWords(inside.earliest_days, inside.middle_days, now)}</Note>}
          {!isSolution && <Note>A dose of spirit is scent, not protection.</Note>}
        </Section>
      </div>
    </div>
  );
}
