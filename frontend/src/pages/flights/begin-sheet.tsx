import '../taste/style.css';
import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { DOUBLED_FROM, laidGlasses } from '~/outbox/flight-codes.ts';
import { barrels, people } from '~/outbox/overlay.ts';
import { syncStatus } from '~/sync/status.ts';
import { FlightDrawing } from '../lessons/flight.tsx';
import { moment } from '../parts/clock.ts';
import { useGo } from '../parts/go.ts';
import { keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { myId } from '../parts/me.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { insideNow } from '../words/barrel.ts';
import {
  beginProblem,
  type FlightDraft,
  guests,
  pourable,
  pourWords,
  usualFlightMl,
} from '../words/flights.ts';
import { listed } from '../words/numbers.ts';
import { allergenWords, eveningGuard } from '../words/taste.ts';
import { typedNumber } from '../words/typed.ts';

/** Which barrels, for whom, and how much; this phone makes the numbers, with signal or without. */
export function BeginSheet({ onClose }: { onClose: () => void }) {
  const go = useGo();
  const now = moment();
  const [draft, setDraft] = useState<FlightDraft>({
    fills: [],
    tasters: [],
    sample: '',
    is_without_duplicate: false,
  });
  const [wrong, setWrong] = useState('');
  const open = pourable(barrels.value);
  const chosen = open.filter((barrel) => draft.fills.includes(barrel.contents!.stay));
  const usual = usualFlightMl(chosen);
  const sample_ml = draft.sample.trim() === '' ? usual : typedNumber(draft.sample);
  const change = (part: Partial<FlightDraft>): void => {
    setWrong('');
    setDraft((before) => ({ ...before, ...part }));
  };
  const allergens = [...new Set(chosen.flatMap(allergenWords))];
  const guards = chosen
    .map((barrel) => {
      const volume_l = insideNow(barrel, now.now_ms)?.volume_l.mid;
      const guard =
        volume_l && sample_ml
          ? eveningGuard(0, sample_ml * Math.max(1, draft.tasters.length), volume_l)
          : null;
      return guard ? `${barrel.name}: ${guard.words}` : null;
    })
    .filter((words) => words !== null);

  return (
    <SheetForm
      title="Pour a blind flight"
      label="Make the numbers"
      onClose={onClose}
      onSave={async () => {
        const problem = beginProblem(draft, sample_ml);
        setWrong(problem ?? '');
        if (problem || sample_ml === null) return null;
        const kept = await keep('flights', {
          fills: draft.fills,
          tasters: draft.tasters,
          sample_ml,
          ...(draft.is_without_duplicate ? { is_without_duplicate: true } : {}),
          glasses: laidGlasses(draft.fills, !draft.is_without_duplicate),
        });
        if (kept.ok) go(`/flights/${kept.recorded.id}`);
        return kept;
      }}
      onKept={onClose}
    >
      <LessonFor name="flight" drawing={<FlightDrawing />} />
      <Ticks
        legend="Which barrels?"
        none="No barrel is open to tasting now."
        options={open.map((barrel) => ({ value: barrel.contents!.stay, label: barrel.name }))}
        chosen={draft.fills}
        onChange={(fills) => change({ fills })}
      />
      <Ticks
        legend="Who tastes? Not you: you know the numbers."
        none="Nobody else is in the club."
        options={guests(people.value, myId()).map((person) => ({ value: person.id, label: person.name }))}
        chosen={draft.tasters}
        onChange={(tasters) => change({ tasters })}
      />
      <Field
        label="A glass"
        inputMode="decimal"
        unit="mL"
        value={draft.sample}
        onInput={(sample) => change({ sample })}
        hint={`Left empty: ${usual} mL.`}
      />
      {draft.fills.length >= DOUBLED_FROM && (
        <label class="taste__tick">
          <input
            type="checkbox"
            checked={!draft.is_without_duplicate}
            onChange={(event) => change({ is_without_duplicate: !event.currentTarget.checked })}
          />
          One of them twice, to see how far a nose wanders
        </label>
      )}
      {draft.fills.length >= 2 && draft.tasters.length > 0 && sample_ml !== null && (
        <p class="note ink">{pourWords(draft, sample_ml)}</p>
      )}
      {guards.map((words) => (
        <p key={words} class="note due">
          {words}
        </p>
      ))}
      {allergens.length > 0 && (
        <p class="note ink">May hold {listed(allergens)}. Ask each taster before you pour.</p>
      )}
      {!syncStatus.value.has_signal && (
        <p class="note">
          There is no signal. Pour all the same: your tasters score by the number on the glass.
        </p>
      )}
      {wrong && <p class="field__error">{wrong}</p>}
    </SheetForm>
  );
}

interface TicksProps {
  legend: string;
  none: string;
  options: { value: string; label: string }[];
  chosen: string[];
  onChange: (chosen: string[]) => void;
}

/** Several of a list, ticked. */
function Ticks({ legend, none, options, chosen, onChange }: TicksProps) {
  return (
    <fieldset class="taste__ticks">
      <legend class="lead b">{legend}</legend>
      {options.length === 0 && <p class="note">{none}</p>}
      {options.map(({ value, label }) => (
        <label key={value} class="taste__tick">
          <input
            type="checkbox"
            checked={chosen.includes(value)}
            onChange={(event) => {
              const others = chosen.filter((one) => one !== value);
              onChange(event.currentTarget.checked ? [...others, value] : others);
            }}
          />
          {label}
        </label>
      ))}
    </fieldset>
  );
}
