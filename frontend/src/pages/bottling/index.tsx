import { useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { newId } from '~/outbox/entry.ts';
import { club } from '~/outbox/overlay.ts';
import { type ShownVessel, vesselBy } from '~/outbox/overlay-glass.ts';
import { HEADSPACE_TARGET } from '~/science/tables.ts';
import { BottlingDrawing } from '../lessons/bottling.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { nameOf } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import { useWhen, WhenField } from '../parts/when.tsx';
import { BOTTLES, FIRE } from '../words/cautions.ts';
import { leftWords, money, tieWords, vesselStrengthWords, warnedWords } from '../words/glass.ts';
import { capital, counted, listed, litres, unit } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import { type BottleLine, bottlesOf, division, type Swap, swapped, tieOf } from './divide.ts';
import {
  BORE_ALLOWED,
  bestWords,
  fillFor,
  fillWords,
  footAllowed,
  type Line,
  lineWrong,
  TARGET_ALLOWED,
  TARGET_PCT,
  targetOf,
  targetWords,
} from './headspace.ts';

const SIZES_ML = [50, 100, 200, 350, 500, 700, 750, 1000];

/** From a vessel into bottles, and who takes which. */
export default function BottlingPage() {
  const { params } = useRoute();
  const vessel = vesselBy(params.id ?? '');
  const [done, setDone] = useState('');
  if (!vessel) return <Missing what="This vessel is not on this phone, or is not yours to see." />;
  if (done) return <Done vessel={vessel} words={done} />;
  if (!mayWork(vessel)) return <NotAllowed title={vessel.name} words="In this club the keeper bottles." />;
  return <Room key={vessel.id} vessel={vessel} onDone={setDone} />;
}

function Room({ vessel, onDone }: { vessel: ShownVessel; onDone: (words: string) => void }) {
  const [id] = useState(newId);
  const when = useWhen(Date.parse(vessel.made_at));
  const left_ml = Math.floor(1000 * vessel.left_l + 0.5);
  const [target, setTarget] = useState(TARGET_PCT);
  const [lines, setLines] = useState<Line[]>(() => [sized(500, HEADSPACE_TARGET, left_ml)]);
  const [loss, setLoss] = useState('0');
  const [typedHeel, setHeel] = useState<string | null>(null);
  const [strength, setStrength] = useState('');
  const [swaps, setSwaps] = useState<Swap[]>([]);
  const [problem, setProblem] = useState('');
  const loss_ml = Math.round(typedNumber(loss || '0') ?? -1);
  const headspace = targetOf(target);
  const abv_pct = strength.trim() ? typedNumber(strength) : null;
  const filled_ml = lines.reduce((sum, line) => sum + line.fill_ml * line.count, 0);
  // What no bottle takes is shared in a glass, unless somebody says otherwise.
  const rest_ml = Math.max(0, left_ml - filled_ml - Math.max(0, loss_ml));
  const smallest_ml = Math.min(...lines.map((line) => line.fill_ml));
  const heel = typedHeel ?? String(rest_ml < smallest_ml ? rest_ml : 0);
  const heel_ml = Math.round(typedNumber(heel || '0') ?? -1);
  const drawn_ml = filled_ml + Math.max(0, loss_ml) + Math.max(0, heel_ml);
  const isSound = lines.length > 0 && loss_ml >= 0 && heel_ml >= 0 && lines.every((line) => line.count > 0);
  const rows = useMemo(
    () =>
      isSound ? swapped(division(vessel, lines, heel_ml, drawn_ml), swaps, lines, vessel, drawn_ml) : [],
    [vessel, lines, heel_ml, drawn_ml, swaps, isSound],
  );
  const tie = useMemo(
    () => (isSound ? tieOf(vessel, lines, heel_ml) : null),
    [vessel, lines, heel_ml, isSound],
  );
  const change = (at: number, part: Partial<Line>): void => {
    setLines(lines.map((line, row) => (row === at ? { ...line, ...part } : line)));
    setSwaps([]);
  };
  /** Fills each anew by the headspace; with one size, as many as then go in. */
  const refill = (next: readonly Line[], share: number | null): void => {
    setSwaps([]);
    if (share === null) {
      setLines([...next]);
      return;
    }
    const filled = next.map((line) => ({ ...line, fill_ml: fillFor(line, share) }));
    setLines(
      filled.length === 1
        ? filled.map((line) => ({ ...line, count: bottlesOf(left_ml, line.fill_ml) }))
        : filled,
    );
  };
  const put = (at: number, part: Partial<Line>): Line[] =>
    lines.map((line, row) => (row === at ? { ...line, ...part } : line));
  const strength_pct = abv_pct ?? vessel.abv_pct;
  const gap = headspace === null ? null : targetWords(headspace, strength_pct);
  const warned = warnedWords(vessel.allergens);

  const save = async (): Promise<void> => {
    if (!isSound) return setProblem('Say how many bottles of which size; every number is a whole one.');
    if (new Set(lines.map((line) => line.size_ml)).size !== lines.length) {
      return setProblem('A size stands here twice. Put its bottles on one line.');
    }
    if (headspace === null) return setProblem(`A headspace is ${TARGET_ALLOWED}.`);
    const full = lines.find((line) => line.fill_ml > 1.1 * line.size_ml || line.fill_ml < 1);
    if (full)
      return setProblem(`A bottle of ${unit(full.size_ml, 'mL')} does not take ${unit(full.fill_ml, 'mL')}.`);
    if (drawn_ml > 1100 * vessel.volume_l) {
      return setProblem(`The vessel held ${litres(vessel.volume_l)}; this takes ${litres(drawn_ml / 1000)}.`);
    }
    if (strength.trim() && (abv_pct === null || abv_pct < 0 || abv_pct > 100)) {
      return setProblem('A strength is 0 to 100 % vol.');
    }
    const at = when.said();
    if (at === null) return;
    const given = rows.flatMap((row) =>
      row.bottles.flatMap((count, at) => {
        const line = lines[at];
        return line && count > 0 ? [{ person: row.person, size_ml: line.size_ml, count }] : [];
      }),
    );
    const kept = await keep(
      'bottlings',
      {
        ...at,
        vessel: vessel.id,
        bottles: lines.map(({ size_ml, fill_ml, count }) => ({ size_ml, fill_ml, count })),
        loss_ml,
        heel_ml,
        given,
        // What this phone knew of earlier ties, so that the club can tell a draw from a swap.
        ...(tie ? { drawn: vessel.ties } : {}),
        ...(abv_pct === null ? {} : { abv_pct }),
      },
      { id },
    );
    if (!kept.ok) setProblem(kept.words);
    else onDone(listed(rows.map((row) => `${who(row.person)} ${counted(row.count, 'bottle', 'bottles')}`)));
  };

  return (
    <Screen
      title={`Bottle ${vessel.name}`}
      announce={problem}
      top={{
        back: { href: `/vessels/${vessel.id}`, label: capital(vessel.name || 'Vessel') },
        right: <Fresh />,
      }}
      sill={
        <Sill
          left={{ label: 'Leave', href: `/vessels/${vessel.id}` }}
          act={{ label: 'Bottled', lit: isSound, onPress: () => void save() }}
        />
      }
    >
      <Section>
        <Title>Bottle {vessel.name}</Title>
        <Note>
          {leftWords(vessel)}, {vesselStrengthWords(vessel)}
        </Note>
        <div class="gap4">
          <LessonFor name="bottling" drawing={<BottlingDrawing />} />
        </div>
        {warned && <p class="note ink gap3">{warned} Name it on the label.</p>}
        <p class="note ink gap3">{FIRE}</p>
        <p class="note ink gap3">{BOTTLES}</p>
        <h2 class="lead b gap5">The bottles at hand</h2>
        <div class="stack gap3">
          <Field
            label="Headspace, of the bottle"
            unit="%"
            inputMode="decimal"
            value={target}
            onInput={(text) => {
              setTarget(text);
              refill(lines, targetOf(text));
            }}
            error={headspace === null ? 'That is no headspace.' : undefined}
            allowed={headspace === null ? TARGET_ALLOWED : undefined}
            hint="The air below the cork: enough for a warm day, and little enough to keep."
          />
          {gap && <p class={gap.isBad ? 'note red' : 'note'}>{gap.words}</p>}
          {lines.map((line, at) => (
            <div key={at} class="stack">
              <Choice
                label="Size"
                options={[...new Set([...SIZES_ML, line.size_ml])].map((ml) => ({
                  value: String(ml),
                  label: unit(ml, 'mL'),
                }))}
                value={String(line.size_ml)}
                onChange={(ml) =>
                  refill(
                    put(at, { ...sized(Number(ml), headspace ?? 0, left_ml), count: line.count }),
                    headspace,
                  )
                }
              />
              <Field
                label="Filled to"
                unit="mL"
                inputMode="numeric"
                value={String(line.fill_ml)}
                onInput={(text) => change(at, { fill_ml: Math.round(typedNumber(text) ?? 0) })}
              />
              <Field
                label="How many"
                inputMode="numeric"
                value={String(line.count)}
                onInput={(text) => change(at, { count: Math.round(typedNumber(text) ?? 0) })}
              />
              <div aria-live="polite">
                <p class="ink">{fillWords(line)}</p>
                <p class="note gap2">
                  {bestWords(line, vessel, strength_pct, { ...when.now, now_ms: when.at_ms })}
                </p>
              </div>
              <Measured line={line} onChange={(part) => refill(put(at, part), headspace)} />
              {lines.length > 1 && (
                <Press
                  onPress={() => {
                    setLines(lines.filter((_, row) => row !== at));
                    setSwaps([]);
                  }}
                >
                  Without this size
                </Press>
              )}
            </div>
          ))}
          <Press
            onPress={() => {
              const free = SIZES_ML.find((ml) => !lines.some((line) => line.size_ml === ml)) ?? 200;
              setLines([...lines, { ...sized(free, headspace ?? HEADSPACE_TARGET, left_ml), count: 1 }]);
              setSwaps([]);
            }}
          >
            Another size
          </Press>
          <Field
            label="The rest, shared in a glass"
            unit="mL"
            inputMode="numeric"
            value={heel}
            onInput={setHeel}
          />
          <Field
            label="Kept by filter and hose"
            unit="mL"
            inputMode="numeric"
            value={loss}
            onInput={setLoss}
          />
          <Field
            label="Strength, if you measured it"
            unit="% vol"
            inputMode="decimal"
            value={strength}
            onInput={setStrength}
            hint="Wood changes it: a label wants what was measured, not what went in."
          />
        </div>
        <div class="gap4">
          <WhenField when={when} />
        </div>
        <Note>
          {litres(drawn_ml / 1000, 3)} of {litres(vessel.left_l, 3)}
          {drawn_ml / 1000 > vessel.left_l + 0.001 &&
            ': more than is left. It is kept, and the keeper looks at it.'}
        </Note>
        {problem && <Notice tone="red">{problem}</Notice>}
        <h2 class="lead b gap6">Who takes what</h2>
        <Say>Whole bottles by shares, the odd one to the largest rest.</Say>
        {tie && <Note>{tieWords(tie, who)}</Note>}
      </Section>
      <StaveList label="Who takes what">
        {rows.map((row) => (
          <StaveRow
            key={row.person ?? 'club'}
            title={who(row.person)}
            {...(row.cost_minor !== null && club.value
              ? { aside: money(row.cost_minor, club.value.currency) }
              : {})}
          >
            {row.bottles.map((count, at) => `${count} of ${unit(lines[at]?.size_ml ?? 0, 'mL')}`).join(', ')}
            {row.heel_ml > 0 && `, ${unit(row.heel_ml, 'mL')} in a glass`}
          </StaveRow>
        ))}
      </StaveList>
      {rows.length > 1 && (
        <Section class="gap4">
          <SwapForm
            lines={lines}
            people={rows.map((row) => row.person)}
            onSwap={(swap) => setSwaps([...swaps, swap])}
          />
          {swaps.length > 0 && <Press onPress={() => setSwaps([])}>As the shares say</Press>}
        </Section>
      )}
    </Screen>
  );
}

/** One size, filled by the headspace, as many as go in. */
function sized(size_ml: number, headspace: number, left_ml: number): Line {
  const bare: Line = { size_ml, fill_ml: size_ml, count: 1, foot: '', bore: '' };
  const fill_ml = fillFor(bare, headspace);
  return { ...bare, fill_ml, count: bottlesOf(left_ml, fill_ml) };
}

/** What a bottle really holds, and how wide its neck is: for whoever measured one. */
function Measured({ line, onChange }: { line: Line; onChange: (part: Partial<Line>) => void }) {
  const wrong = lineWrong(line);
  return (
    <details>
      <summary class="link">Its measures</summary>
      <div class="stack gap3">
        <Field
          label="It holds to the cork’s foot"
          unit="mL"
          inputMode="decimal"
          value={line.foot}
          onInput={(foot) => onChange({ foot })}
          error={wrong.foot}
          allowed={wrong.foot ? footAllowed(line) : undefined}
          hint="Fill one with water and weigh it: a gram is a millilitre. Else it is taken for 4 % more than its name."
        />
        <Field
          label="Its neck, inside"
          unit="mm"
          inputMode="decimal"
          value={line.bore}
          onInput={(bore) => onChange({ bore })}
          error={wrong.bore}
          allowed={wrong.bore ? BORE_ALLOWED : undefined}
          hint="As wide as the cork’s foot. Then the height is told in millimetres."
        />
      </div>
    </details>
  );
}

const who = (person: string | null): string => (person === null ? 'The club' : nameOf(person));

interface SwapProps {
  lines: readonly BottleLine[];
  people: readonly (string | null)[];
  onSwap: (swap: Swap) => void;
}

/** One bottle from one sharer to another; whoever gets more pays more. */
function SwapForm({ lines, people, onSwap }: SwapProps) {
  const [from, setFrom] = useState('0');
  const [to, setTo] = useState('1');
  const [size, setSize] = useState('0');
  const options = people.map((person, row) => ({ value: String(row), label: who(person) }));
  return (
    <details>
      <summary class="link">A swap</summary>
      <div class="stack gap3">
        <Choice label="From" options={options} value={from} onChange={setFrom} />
        <Choice label="To" options={options} value={to} onChange={setTo} />
        <Choice
          label="A bottle of"
          options={lines.map((line, at) => ({ value: String(at), label: unit(line.size_ml, 'mL') }))}
          value={size}
          onChange={setSize}
        />
        <Press
          onPress={() =>
            onSwap({ from: people[Number(from)] ?? null, to: people[Number(to)] ?? null, line: Number(size) })
          }
        >
          Hand one over
        </Press>
        <Note>What each pays follows what each gets.</Note>
      </div>
    </details>
  );
}

function Done({ vessel, words }: { vessel: ShownVessel; words: string }) {
  return (
    <Screen
      title={`Bottled ${vessel.name}`}
      announce={keptWords()}
      top={{
        back: { href: `/vessels/${vessel.id}`, label: capital(vessel.name || 'Vessel') },
        right: <Fresh />,
      }}
      sill={
        <Sill
          left={{ label: 'Vessel', href: `/vessels/${vessel.id}` }}
          act={{ label: 'The bottles', href: '/bottles' }}
        />
      }
    >
      <Section>
        <Title>Bottled</Title>
        <Say>{words}.</Say>
        <p class="ok tick gap3">{keptWords()}</p>
        <p class="gap4">
          Each bottle gets a code of its own with the next signal. Write it on the bottle: it tells its story
          to whoever may see it.
        </p>
      </Section>
    </Screen>
  );
}
