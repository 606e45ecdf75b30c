import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { barrelBy } from '~/outbox/overlay.ts';
import { DecantDrawing } from '../lessons/decant.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { insideNow, liftingWords } from '../words/barrel.ts';
import { FIRE, VESSELS } from '../words/cautions.ts';
import { scoredWords, yieldWords } from '../words/glass.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import { litresOfMass } from '../words/weighed.ts';

const OVER_CAPACITY = 1.1;

type Way = 'volume' | 'weight';

/** Emptying a barrel: what was expected stands beside what is measured. */
export default function DecantPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  const [done, setDone] = useState<{ id: string; words: string } | null>(null);
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  if (done) return <Done barrel={barrel} {...done} />;
  if (barrel.contents?.kind !== 'fill') {
    return <NotAllowed title={barrel.name} words="There is nothing in it to decant." />;
  }
  const fill = barrel.contents;
  if (!mayWork({ barrel: barrel.id, shares: fill.sharers })) {
    return <NotAllowed title={barrel.name} words="In this club the keeper decants." />;
  }
  return <Room key={fill.stay} barrel={barrel} fill={fill} onDone={(id, words) => setDone({ id, words })} />;
}

/** Beyond this share of what was expected a yield is read twice (design value, no source). */
const FAR_FRACTION = 0.25;

const isFarFrom = ({ low, high }: { low: number; high: number }, volume_l: number): boolean =>
  volume_l < (1 - FAR_FRACTION) * low || volume_l > (1 + FAR_FRACTION) * high;

interface RoomProps {
  barrel: ShownBarrel;
  fill: NonNullable<ShownBarrel['contents']>;
  onDone: (id: string, words: string) => void;
}

function Room({ barrel, fill, onDone }: RoomProps) {
  const when = useWhenAt(barrel);
  const [way, setWay] = useState<Way>('volume');
  const [amount, setAmount] = useState('');
  const [strength, setStrength] = useState('');
  const [name, setName] = useState('');
  const [note, setNote] = useState('');
  const [problem, setProblem] = useState<{ amount?: string; strength?: string; said?: string }>({});
  const inside = insideNow(barrel, when.at_ms);
  const abv_pct = strength.trim() ? typedNumber(strength) : null;
  const typed = typedNumber(amount);
  const known_abv = abv_pct ?? inside?.abv_pct?.mid ?? fill.start_abv_pct;
  const canWeigh = known_abv !== null && known_abv !== undefined;
  const measured_l =
    typed === null
      ? null
      : way === 'volume'
        ? typed
        : canWeigh && known_abv >= 0 && known_abv <= 100
          ? litresOfMass(typed, known_abv, fill.sugar_g_l ?? 0)
          : null;
  const most_l = OVER_CAPACITY * barrel.capacity_l;
  const [asked, setAsked] = useState('');
  const figure = `${way} ${amount}`;
  const isAsked = asked === figure;

  const save = async (): Promise<void> => {
    const wrong: typeof problem = {};
    if (measured_l === null || measured_l < 0) wrong.amount = 'Say what came out, as a number.';
    else if (measured_l > most_l) {
      wrong.amount = `${barrel.name} holds ${litres(barrel.capacity_l)}; that much cannot have been in it.`;
    }
    if (strength.trim() && (abv_pct === null || abv_pct < 0 || abv_pct > 100)) {
      wrong.strength = 'A strength is 0 to 100 % vol.';
    }
    setProblem(wrong);
    const at = when.said();
    if (wrong.amount || wrong.strength || measured_l === null || at === null) return;
    const rounded = Number(measured_l.toFixed(3));
    // It ends the fill and is what is shared. The same figure twice is no slip: then it is kept as it is.
    if (!isAsked && inside && isFarFrom(inside.volume_l, rounded)) {
      setAsked(figure);
      return;
    }
    const kept = await keep('decants', {
      ...at,
      barrel: barrel.id,
      measured_volume_l: rounded,
      ...(abv_pct === null ? {} : { abv_pct }),
      ...(name.trim() ? { vessel_name: name.trim() } : {}),
      ...(note.trim() ? { note: note.trim() } : {}),
    });
    if (!kept.ok) setProblem({ said: kept.words });
    else onDone(kept.recorded.id, inside ? scoredWords(inside.volume_l, rounded) : '');
  };

  const lifting = liftingWords(barrel);
  return (
    <Screen
      title={`Decant ${barrel.name}`}
      announce={problem.said ?? problem.amount ?? problem.strength ?? ''}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' }}
          act={{
            label: isAsked ? 'It is so' : 'Decanted',
            lit: measured_l !== null,
            onPress: () => void save(),
          }}
          right={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
        />
      }
    >
      <Section>
        <Title>Decant {fill.name ?? barrel.name}</Title>
        {inside && <Say>{yieldWords(inside.volume_l)}</Say>}
        <div class="gap4">
          <LessonFor name="decant" drawing={<DecantDrawing />} />
        </div>
        <p class="note ink gap3">
          {FIRE} {lifting ?? ''}
        </p>
        <p class="note ink gap3">{VESSELS}</p>
        <div class="stack gap5">
          <PressGroup
            label="How do you measure it?"
            options={[
              { value: 'volume' as Way, label: 'In a jug' },
              { value: 'weight' as Way, label: 'On a scale' },
            ]}
            value={way}
            onChange={(next) => setWay(next ?? 'volume')}
          />
          <Field
            label={way === 'volume' ? 'What came out' : 'What it weighs, without the vessel'}
            unit={way === 'volume' ? 'L' : 'kg'}
            inputMode="decimal"
            value={amount}
            onInput={setAmount}
            error={problem.amount}
            allowed={problem.amount ? `0 to ${litres(most_l)}` : undefined}
          />
          {isAsked && inside && (
            <Notice tone="red">
              {yieldWords(inside.volume_l)} Read it once more, and mend the figure if it was a slip.
            </Notice>
          )}
          {way === 'weight' && measured_l !== null && (
            <Note>
              That is {litres(measured_l)} at {Number((known_abv ?? 0).toFixed(1))} % vol, calculated.
            </Note>
          )}
          {way === 'weight' && !canWeigh && <Note>A weight needs the strength below.</Note>}
          <Field
            label="Strength, if you measured it"
            unit="% vol"
            inputMode="decimal"
            value={strength}
            onInput={setStrength}
            error={problem.strength}
            hint="Corrected to 20 °C. An alcoholmeter does not read a sweetened liquid."
          />
          <Field
            label="Into which vessel?"
            value={name}
            onInput={setName}
            maxLength={80}
            hint={`Glass or steel with a lid. Left empty it is called ${fill.name ?? 'by its fill'}.`}
          />
          <WhenField when={when} />
          <Field label="Note" multiline value={note} onInput={setNote} maxLength={2000} />
          {problem.said && <Notice tone="red">{problem.said}</Notice>}
        </div>
      </Section>
    </Screen>
  );
}

function Done({ barrel, id, words }: { barrel: ShownBarrel; id: string; words: string }) {
  return (
    <Screen
      title={`Decanted ${barrel.name}`}
      announce={keptWords()}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: barrel.name, href: `/barrels/${barrel.id}` }}
          act={{ label: 'Bottle it', href: `/vessels/${id}/bottle` }}
          right={{ label: 'Vessel', href: `/vessels/${id}` }}
        />
      }
    >
      <Section>
        <Title>Decanted</Title>
        {words && <Say>{words}</Say>}
        <p class="ok tick gap3">{keptWords()}</p>
        <p class="gap4">
          {barrel.name} is empty now and dries from today. Fill it again at once, or rinse it and hold it wet.
        </p>
        <div class="row gap4">
          <Press href={`/barrels/${barrel.id}`}>To {barrel.name}</Press>
        </div>
      </Section>
    </Screen>
  );
}
