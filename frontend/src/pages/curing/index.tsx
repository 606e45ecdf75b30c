import './style.css';
import '../parts/acts.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { DropString } from '~/components/drop-string/index.tsx';
import { Joint } from '~/components/joint/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { WaterLine } from '~/components/water-line/index.tsx';
import { Brand, Note, Say, Verdict } from '~/components/words/index.tsx';
import { barrelBy, logOf, placeBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { didWords, keptWords } from '../parts/keep.ts';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { waterPicture } from '../parts/water-picture.ts';
import {
  beadsOf,
  curingAdvice,
  curingVerdict,
  dropsLabel,
  isShownTight,
  jointsSentence,
  leavesSentence,
  nextSentence,
  soakedFor,
  tightWhen,
} from '../words/curing.ts';
import { litres } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';
import { Begin } from './begin.tsx';
import { curingJudged, type Judged } from './observed.ts';
import { ChangeSheet, JointSheet, TopUpSheet } from './sheets.tsx';
import { GiveUpSheet, TightSheet } from './verdict-sheet.tsx';

type Open = 'top-up' | 'joint' | 'change' | 'tight' | 'give-up';
const SHEETS = {
  'top-up': TopUpSheet,
  joint: JointSheet,
  change: ChangeSheet,
  tight: TightSheet,
  'give-up': GiveUpSheet,
} as const;

/** A barrel's first water: how it closes, what leaves, and the verdict. */
export default function CuringPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

const MAY_BEGIN = new Set<ShownBarrel['state']>(['new', 'empty', 'ready', 'held']);

function Room({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const log = logOf(barrel.id).value;
  const [open, setOpen] = useState<Open | null>(null);
  const [said, setSaid] = useState('');
  const mayWork = isKeeper() || barrel.owners.some((share) => share.person === myId());
  const judged = curingJudged(barrel, log ?? [], placeBy(barrel.place));
  const top = { back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> };

  if (!judged) {
    if (!mayWork) return <NotAllowed title={`Cure ${barrel.name}`} words="Only the keeper cures a barrel." />;
    // What was just found tight is not to be cured again.
    const isDone = said !== '' && barrel.state === 'ready';
    return (
      <Screen
        title={isDone ? barrel.name : `Cure ${barrel.name}`}
        {...(isDone ? { heading: barrel.name } : {})}
        top={top}
        announce={said}
        sill={
          <Sill
            left={trouble(barrel)}
            {...(isDone ? { act: { label: 'Fill it', href: `/barrels/${barrel.id}/mix` } } : {})}
          />
        }
      >
        {said && (
          <Section>
            <p class="ok tick lead">{said}</p>
          </Section>
        )}
        {isDone ? (
          <Section>
            <Say>Fill it the same day; else hold it wet, for an empty barrel dries.</Say>
            <div class="acts gap4">
              <Press href={`/barrels/${barrel.id}/hold`}>Hold it wet</Press>
            </div>
          </Section>
        ) : MAY_BEGIN.has(barrel.state) ? (
          <Begin
            barrel={barrel}
            onSaid={(words) => {
              setSaid(`${words} ${keptWords()}`);
              scrollTo(0, 0);
            }}
          />
        ) : (
          <Section>
            <p>{barrel.name} is not empty, so it cannot be cured now.</p>
          </Section>
        )}
      </Screen>
    );
  }

  const isTight = isShownTight(judged);
  const advice = curingAdvice(barrel, judged, now);
  // Only a few words fit beside the barrel.
  const isShort = advice.length <= 45;
  const Opened = open ? SHEETS[open] : null;
  return (
    <Screen
      title={`Curing ${barrel.name}`}
      announce={said}
      top={top}
      sill={
        <Sill
          left={trouble(barrel)}
          {...(mayWork
            ? {
                act: isTight
                  ? { label: 'It is tight', onPress: () => setOpen('tight') }
                  : {
                      label: judged.observed.is_full ? 'Top up' : 'Fill up',
                      onPress: () => setOpen('top-up'),
                    },
                right: { label: 'Wipe a joint', onPress: () => setOpen('joint') },
              }
            : {})}
        />
      }
    >
      <div class="curing">
        <div class="curing__picture">
          <WaterLine
            barrel={{ ...waterPicture(barrel, now.now_ms, standsAt(barrel, judged)), beads: beadsOf(judged) }}
            side="right"
            radius={146}
            above={
              <Brand as="h1" big tone={barrel.troubles.length > 0 ? 'red' : undefined}>
                {barrel.name}
              </Brand>
            }
            below={
              <>
                <Note>
                  {litres(barrel.capacity_l)}. {soakedFor(judged, now)}
                </Note>
                <div class="curing__verdict gap4">
                  <Verdict>{curingVerdict(judged)}</Verdict>
                  {isShort && <Say>{advice}</Say>}
                </div>
              </>
            }
          />
        </div>
        <div>
          {said && (
            <Section>
              <p class="ok tick">{said}</p>
            </Section>
          )}
          {!isShort && (
            <Section class="gap4">
              <Say>{advice}</Say>
            </Section>
          )}
          <Leaves judged={judged} />
          <div class="gap5">
            <Joint bend={1} />
            <Section>
              <p class="b">{jointsSentence(judged)}</p>
              <Note>{nextSentence(barrel, judged, now)}</Note>
            </Section>
            <Joint bend={-1} at="bottom" />
          </div>
          {mayWork && (
            <Section class="gap5">
              <div class="acts">
                {isTight ? (
                  <Press onPress={() => setOpen('top-up')}>Top up</Press>
                ) : (
                  <Press onPress={() => setOpen('tight')}>Call it tight</Press>
                )}
                <Press onPress={() => setOpen('change')}>Water changed</Press>
                <Press onPress={() => setOpen('give-up')}>Give it up</Press>
              </div>
              <p class="note gap4">
                Never glue, varnish or oil. Hot water scalds: never into a closed barrel.
              </p>
            </Section>
          )}
        </div>
      </div>
      {Opened && (
        <Opened
          barrel={barrel}
          judged={judged}
          onClose={() => setOpen(null)}
          onKept={(what) => {
            setOpen(null);
            setSaid(didWords(what));
            scrollTo(0, 0);
          }}
        />
      )}
    </Screen>
  );
}

const trouble = (barrel: ShownBarrel) =>
  ({ label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' }) as const;

/** Once it was filled up, each top-up brings it back to the bung. */
const standsAt = (barrel: ShownBarrel, { observed }: Judged) =>
  observed.is_full
    ? { at_ms: observed.mark_ms, volume_l: barrel.capacity_l }
    : { at_ms: observed.started_ms, volume_l: observed.water_l };

/** What leaves, drunk and leaked apart, and the string of drops. */
function Leaves({ judged }: { judged: Judged }) {
  const now = moment();
  const leaves = leavesSentence(judged);
  if (judged.per_day_ml.length === 0) {
    return (
      <Section>
        <p>No top-up measured yet. Each one tells how much leaves.</p>
      </Section>
    );
  }
  const ms = tightWhen(judged, now);
  const when = ms === null ? null : nearDayOf(ms, now);
  return (
    <Section class="gap4">
      {leaves && (
        <p class="lead">
          {leaves.leaves}
          <b>{leaves.rest}</b>
        </p>
      )}
      <p class="note gap4">mL a day, at each top-up</p>
      <DropString
        perDay={judged.per_day_ml}
        tightMl={judged.tight_ml_per_day}
        when={when}
        label={dropsLabel(judged, when)}
      />
      <details class="gap3">
        <summary class="link">As a table</summary>
        <table class="note">
          <thead>
            <tr>
              <th scope="col">After</th>
              <th scope="col">Poured in</th>
              <th scope="col">A day</th>
            </tr>
          </thead>
          <tbody>
            {judged.observed.stretches.map((one, i) => (
              <tr key={one.to_h}>
                <td>{Math.round(one.to_h)} h</td>
                <td>{Math.round(one.volume_ml)} mL</td>
                <td>{Math.round(judged.per_day_ml[i] ?? 0)} mL</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </Section>
  );
}
