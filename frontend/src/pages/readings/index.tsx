import './style.css';
import { useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Brand, Note, Say } from '~/components/words/index.tsx';
import { barrelBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { ReadingDrawing } from '../lessons/reading.tsx';
import { ClimateAlarm } from '../parts/climate-alarm.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { PhotoStrip } from '../parts/photo-strip.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { type InsideNow, insideNow, liftingWords, stateSentence } from '../words/barrel.ts';
import {
  changedWords,
  EMPTY_READING,
  isFarOff,
  meaningWords,
  type ReadingDraft,
  type ReadingKind,
  readOut,
  type Wrong,
} from '../words/reading.ts';

const KINDS: { value: ReadingKind; label: string }[] = [
  { value: 'weight', label: 'Scale' },
  { value: 'dip', label: 'Rod' },
  { value: 'alcoholmeter', label: 'Alcoholmeter' },
  { value: 'climate', label: 'Air' },
];
const VALUES: Record<string, { label: string; unit: string; hint: string }> = {
  weight: { label: 'Weight with its contents', unit: 'kg', hint: 'On a level scale, nothing leaning on it.' },
  dip: { label: 'Wet part of the rod', unit: 'mm', hint: 'Bung up, rod upright, down to the foot.' },
  alcoholmeter: { label: 'As it shows', unit: '% vol', hint: 'Uncorrected; the phone corrects it.' },
};

/** What is worth a picture beside its figure. */
const PHOTOGRAPHED: Partial<Record<ReadingKind, string>> = {
  weight: 'the face of the scale',
  dip: 'the rod, or its dip strip',
  alcoholmeter: 'the stem at the surface',
};

/** Something measured at a barrel, and what it changes. */
export default function ReadingsPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  if (barrel.state === 'retired') {
    return <NotAllowed title={barrel.name} words={stateSentence(barrel, moment())} />;
  }
  return <Room key={barrel.id} barrel={barrel} />;
}

interface SavedReading {
  id: string;
  /** What its photo shows: the strip beside a rod, or the face of an instrument. */
  photographed: string | null;
  meaning: string | null;
  before: InsideNow | null;
  forecast_at: string | null;
  isClimate: boolean;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const go = useGo();
  const now = moment();
  const when = useWhenAt(barrel);
  const handle = useMemo(() => draftOf<ReadingDraft>(`reading:${barrel.id}`), [barrel.id]);
  const draft = handle.value.value ?? EMPTY_READING;
  const [wrong, setWrong] = useState<Wrong>({});
  const [asked, setAsked] = useState('');
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const [saved, setSaved] = useState<SavedReading | null>(null);
  // What it is held against is what was expected then.
  const inside = insideNow(barrel, when.at_ms);
  const tare_kg = barrel.register.wet_mass_kg ?? null;
  const out = readOut(draft, barrel, tare_kg, inside);
  const meaning = meaningWords(out.figure, inside);
  const change = (part: Partial<ReadingDraft>): void => {
    setWrong({});
    setProblem('');
    handle.save({ ...draft, ...part });
  };

  const save = async (): Promise<void> => {
    setWrong(out.wrong);
    const at = when.said();
    if (!out.body || at === null || isBusy) return;
    // The same figure twice is no slip of the eye: then it is kept as it is.
    if (
      isFarOff(draft.kind, out.figure, barrel, tare_kg, inside) &&
      asked !== `${draft.kind} ${draft.value}`
    ) {
      setAsked(`${draft.kind} ${draft.value}`);
      return;
    }
    setBusy(true);
    const kept = await keep('readings', { ...out.body, ...at });
    setBusy(false);
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    setSaved({
      id: kept.recorded.id,
      photographed: PHOTOGRAPHED[draft.kind] ?? null,
      meaning,
      // Before its first forecast there is only what was poured, and a reading has nothing to change.
      before: barrel.contents?.near ? inside : null,
      forecast_at: barrel.contents?.forecast_at ?? null,
      isClimate: draft.kind === 'climate',
    });
    setAsked('');
    when.setTyped(null);
    await handle.clear();
    scrollTo(0, 0);
  };

  const isAsked = asked !== '' && asked === `${draft.kind} ${draft.value}`;
  const value = VALUES[draft.kind];
  const lifting = liftingWords(barrel);
  return (
    <Screen
      title={`Readings of ${barrel.name}`}
      glow="right"
      announce={saved ? keptWords() : problem}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', onPress: () => go(`/barrels/${barrel.id}`) }}
          act={{
            label: isBusy ? 'Saving' : isAsked ? 'Save all the same' : 'Save',
            lit: out.body !== null,
            onPress: () => void save(),
          }}
        />
      }
    >
      <div class="readings">
        <Section>
          <Brand as="h1" big>
            {barrel.name}
          </Brand>
          <Note>{stateSentence(barrel, now)}</Note>
          {saved && <Changed barrel={barrel} saved={saved} now_ms={now.now_ms} />}
        </Section>
        <Section class="gap5">
          <LessonFor name="reading" drawing={<ReadingDrawing />} />
          <div class="stack gap4">
            <PressGroup
              label="What did you read?"
              options={KINDS}
              value={draft.kind}
              onChange={(kind) => change({ kind: kind ?? 'weight', value: '' })}
            />
            {draft.kind === 'weight' && lifting && <p class="note ink">{lifting}</p>}
            {value && (
              <Field
                label={value.label}
                inputMode="decimal"
                unit={value.unit}
                hint={value.hint}
                value={draft.value}
                onInput={(text) => change({ value: text })}
                error={wrong.value}
              />
            )}
            {(draft.kind === 'alcoholmeter' || draft.kind === 'climate') && (
              <Field
                label={draft.kind === 'climate' ? 'Temperature' : 'Its temperature'}
                inputMode="text"
                unit="°C"
                value={draft.temp}
                onInput={(temp) => change({ temp })}
                error={wrong.temp}
                allowed={
                  wrong.temp ? (draft.kind === 'climate' ? '-20 to 60 °C' : '-20 to 40 °C') : undefined
                }
              />
            )}
            {draft.kind === 'climate' && (
              <Field
                label="Damp of the air"
                inputMode="decimal"
                unit="%"
                value={draft.rh}
                onInput={(rh) => change({ rh })}
                error={wrong.rh}
                allowed={wrong.rh ? '0 to 100 %' : undefined}
              />
            )}
            {draft.kind === 'climate' && <ClimateAlarm temp={draft.temp} rh={draft.rh} />}
            {meaning && <p class="lead">{meaning}</p>}
            {draft.kind === 'alcoholmeter' && (barrel.contents?.sugar_g_l ?? 0) > 0 && (
              <p class="note ink">
                It is sweetened: sugar holds the instrument up, so this is no true strength.
              </p>
            )}
            {isAsked && (
              <Notice tone="red">
                That is far from what was expected. Read it once more, and mend the figure if it was a slip.
              </Notice>
            )}
            <WhenField when={when} />
            <Field label="A note" value={draft.note} onInput={(note) => change({ note })} maxLength={2000} />
            {problem && <Notice tone="red">{problem}</Notice>}
          </div>
        </Section>
      </div>
    </Screen>
  );
}

/** What the last reading changed, once the server has reckoned with it. */
function Changed({ barrel, saved, now_ms }: { barrel: ShownBarrel; saved: SavedReading; now_ms: number }) {
  const isNew = (barrel.contents?.forecast_at ?? null) !== saved.forecast_at;
  const changed = isNew ? changedWords(saved.before, insideNow(barrel, now_ms)) : null;
  return (
    <div class="gap4">
      <p class="ok tick">{keptWords()}</p>
      {saved.meaning && <p class="gap2">{saved.meaning}</p>}
      {changed ? (
        <Say>{changed}</Say>
      ) : saved.isClimate ? (
        <Note>The air of its place counts for every barrel there from now on.</Note>
      ) : isNew && !saved.before ? (
        <Note>Its first forecast has come; the next reading is held against it.</Note>
      ) : barrel.contents ? (
        <Note>How it changes the forecast shows when it has been sent.</Note>
      ) : null}
      {saved.photographed && (
        <div class="gap3">
          <Note>If you like, a photo of {saved.photographed} goes with it.</Note>
          <PhotoStrip acts={[saved.id]} addTo={saved.id} barrel={barrel.id} what={saved.photographed} />
        </div>
      )}
    </div>
  );
}
