import '../parts/ticks.css';
import { useState } from 'preact/hooks';
import type { Sign } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { holdingSolution } from '~/science/holding.ts';
import { litres as litresOf } from '~/science/units.ts';
import { SolutionDrawing } from '../lessons/solution.tsx';
import { StripDrawing } from '../lessons/strip.tsx';
import { WaterChangeDrawing } from '../lessons/water-change.tsx';
import { keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { SheetForm } from '../parts/sheet-form.tsx';
import { useWhenAt } from '../parts/when.tsx';
import {
  doseLines,
  doseWords,
  drainWords,
  isSoundSign,
  SIGNS,
  SULPHITE_CAUTIONS,
  SULPHITE_CLEAR_MG_L,
  weighable,
} from '../words/hold.ts';
import { litres, unit } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';

export interface HoldSheetProps {
  barrel: ShownBarrel;
  half_mm: number;
  isSolution: boolean;
  onClose: () => void;
  /** What was kept, and whether the nose found something wrong. */
  onKept: (title: string, sign?: Sign) => void;
}

const THIRDS = [12, 4, 8];
const half = (barrel: ShownBarrel): string => String(Number((barrel.capacity_l / 2).toFixed(2)));

function ClockChoice({
  barrel,
  value,
  onChange,
}: {
  barrel: ShownBarrel;
  value: string;
  onChange: (v: string) => void;
}) {
  if (!barrel.bung_tight) return null;
  return (
    <Choice
      label="The bung now stands"
      value={value}
      onChange={onChange}
      options={[...new Set([...THIRDS, barrel.bung_clock])].map((hour) => ({
        value: String(hour),
        label: hour === 12 ? 'up' : `at ${hour} o’clock`,
      }))}
      hint="One full roll, then a third further each time. Look at bung and spigot after it."
    />
  );
}

const nextThird = (clock: number): string => String(((clock + 3) % 12) + 1);

/** Smelt, emptied, rinsed, filled to the half mark, turned by a third. */
export function ChangeSheet({ barrel, half_mm, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const [amount, setAmount] = useState(half(barrel));
  const [smell, setSmell] = useState<Sign | undefined>(undefined);
  const [clock, setClock] = useState(barrel.bung_tight ? nextThird(barrel.bung_clock) : '12');
  const [wrong, setWrong] = useState<{ amount?: string; smell?: string }>({});
  const save = async () => {
    const volume_l = typedNumber(amount);
    const found = {
      ...(volume_l === null || volume_l <= 0 || volume_l > 1.1 * barrel.capacity_l
        ? { amount: `It holds ${litres(barrel.capacity_l)}.` }
        : {}),
      ...(smell ? {} : { smell: 'Say what it smelt of.' }),
    };
    setWrong(found);
    const at = when.said();
    if (Object.keys(found).length > 0 || !smell || at === null) return null;
    return keep('tendings', {
      ...at,
      barrel: barrel.id,
      tasks: ['roll', 'rinse', 'water_change'],
      volume_l: volume_l!,
      smell,
      ...(isSoundSign(smell) ? {} : { is_well: false }),
      ...(barrel.bung_tight ? { bung_clock: Number(clock) } : {}),
    });
  };
  return (
    <SheetForm
      title={`Water changed: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Water changed', smell)}
    >
      <LessonFor name="water-change" drawing={<WaterChangeDrawing />} />
      <PressGroup
        label="What did the old water smell of?"
        value={smell}
        onChange={setSmell}
        options={SIGNS.map((one) => ({ value: one.value, label: one.label }))}
      />
      {wrong.smell && <p class="red">{wrong.smell}</p>}
      {smell && !isSoundSign(smell) && (
        <p>Write it down, then see what to do under Trouble. Do not fill it with spirit.</p>
      )}
      <Field
        label="New water"
        inputMode="decimal"
        unit="L"
        value={amount}
        onInput={setAmount}
        error={wrong.amount}
        hint={`${unit(half_mm, 'mm')} on the rod is half.`}
      />
      <ClockChoice barrel={barrel} value={clock} onChange={setClock} />
    </SheetForm>
  );
}

/** Water added, or a dip that shows where it stands; a solution is only dipped, for water would thin it. */
export function TopUpSheet({ barrel, half_mm, isSolution, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const [what, setWhat] = useState<'poured' | 'dip'>(isSolution ? 'dip' : 'poured');
  const [amount, setAmount] = useState('');
  const [wrong, setWrong] = useState<string>();
  const save = async () => {
    const value = typedNumber(amount);
    const most = what === 'poured' ? 1100 * barrel.capacity_l : 10 * barrel.shape.bilge_diameter_cm;
    const isWrong = value === null || value <= 0 || value > most;
    setWrong(isWrong ? `Up to ${Math.round(most)} ${what === 'poured' ? 'mL' : 'mm'}.` : undefined);
    const at = when.said();
    if (isWrong || at === null) return null;
    return what === 'poured'
      ? keep('tendings', { ...at, barrel: barrel.id, tasks: ['top_up'], volume_l: value / 1000, abv_pct: 0 })
      : keep('readings', { ...at, barrel: barrel.id, kind: 'dip', dip_mm: value });
  };
  return (
    <SheetForm
      title={`${isSolution ? 'Dip' : 'Top up'}: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept(what === 'poured' ? 'Top-up' : 'Dip')}
    >
      {!isSolution && (
        <PressGroup
          label="What did you do?"
          value={what}
          onChange={(value) => {
            setWhat(value ?? 'poured');
            setAmount('');
          }}
          options={[
            { value: 'poured', label: 'Poured water in' },
            { value: 'dip', label: 'Dipped it' },
          ]}
        />
      )}
      <Field
        label={what === 'poured' ? 'Poured in' : 'Wet on the rod'}
        inputMode="decimal"
        unit={what === 'poured' ? 'mL' : 'mm'}
        value={amount}
        onInput={setAmount}
        error={wrong}
        hint={`${unit(half_mm, 'mm')} on the rod is half.`}
      />
    </SheetForm>
  );
}

/** The holding solution: doses for a full barrel, and every caution before the act. */
export function SolutionSheet({ barrel, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const [isRead, setRead] = useState(false);
  const [wrong, setWrong] = useState('');
  const doses = holdingSolution(litresOf(barrel.capacity_l));
  const save = async () => {
    setWrong(isRead ? '' : 'Read the cautions first.');
    const at = when.said();
    if (!isRead || at === null) return null;
    return keep('holds', {
      ...at,
      barrel: barrel.id,
      water_l: Number(barrel.capacity_l.toFixed(3)),
      is_solution: true,
      citric_acid_g: weighable(doses.citric_acid_g),
      metabisulphite_g: weighable(doses.metabisulphite_g),
    });
  };
  return (
    <SheetForm
      title={`Holding solution: ${barrel.name}`}
      label="It stands full of solution"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Holding solution')}
    >
      <LessonFor name="solution" drawing={<SolutionDrawing />} />
      <p class="lead">Full, not half: {litres(barrel.capacity_l)} of cool water with</p>
      <ul class="hold__list">
        {doseLines(doses.citric_acid_g, doses.metabisulphite_g).map((line) => (
          <li key={line} class="b">
            {line}
          </li>
        ))}
      </ul>
      <p class="note">Check it each month by smell and strip, renew it after three months.</p>
      <ul class="hold__list">
        {SULPHITE_CAUTIONS.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <label class="tick-line">
        <input type="checkbox" checked={isRead} onChange={(event) => setRead(event.currentTarget.checked)} />
        Read, and somebody is with me
      </label>
      {wrong && <p class="red">{wrong}</p>}
    </SheetForm>
  );
}

/** What a strip shows: of the solution each month, of the soak water before a fill. */
export function StripSheet({ barrel, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const [shown, setShown] = useState('');
  const [wrong, setWrong] = useState<string>();
  const value = typedNumber(shown);
  const save = async () => {
    const isWrong = value === null || value < 0 || value > 2000;
    setWrong(isWrong ? 'What does the strip show?' : undefined);
    const at = when.said();
    if (isWrong || at === null) return null;
    return keep('readings', { ...at, barrel: barrel.id, kind: 'so2_strip', so2_mg_l: value });
  };
  return (
    <SheetForm
      title={`Strip: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Strip')}
    >
      <LessonFor name="strip" drawing={<StripDrawing />} />
      <p class="note">Dip it in the water that soaked a day after three rinses; read it after its time.</p>
      <Field
        label="Sulphite"
        inputMode="decimal"
        unit="mg/L"
        value={shown}
        onInput={setShown}
        error={wrong}
        allowed={wrong ? '0 to 2000 mg/L' : undefined}
      />
      {value !== null && (
        <p class="note ink">
          {value < SULPHITE_CLEAR_MG_L
            ? 'Under 10 mg/L: clear for a fill.'
            : 'Not clear yet: rinse, soak a day, strip it again.'}
        </p>
      )}
    </SheetForm>
  );
}

/** The hold ends. */
export function DrainSheet({ barrel, isSolution, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const save = async () => {
    const at = when.said();
    return at && keep('drainings', { ...at, barrel: barrel.id });
  };
  return (
    <SheetForm
      title={`Drain: ${barrel.name}`}
      label="It is drained"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Drained')}
    >
      {drainWords(barrel, isSolution).map((line) => (
        <p key={line}>{line}</p>
      ))}
    </SheetForm>
  );
}

/** A hold begins: half of its water, a dose for scent if one wants it, the bung's rest. */
export function BeginSheet({ barrel, half_mm, onClose, onKept }: HoldSheetProps) {
  const when = useWhenAt(barrel);
  const [amount, setAmount] = useState(half(barrel));
  const [dose, setDose] = useState('');
  const [clock, setClock] = useState('12');
  const [wrong, setWrong] = useState<{ amount?: string; dose?: string }>({});
  const [volume_l, dose_ml] = [typedNumber(amount), typedNumber(dose)];
  const save = async () => {
    const found = {
      ...(volume_l === null || volume_l <= 0 || volume_l > 1.1 * barrel.capacity_l
        ? { amount: `It holds ${litres(barrel.capacity_l)}.` }
        : {}),
      ...(dose.trim() && (dose_ml === null || dose_ml < 0 || dose_ml > 500) ? { dose: '0 to 500 mL.' } : {}),
    };
    setWrong(found);
    const at = when.said();
    if (Object.keys(found).length > 0 || at === null) return null;
    return keep('holds', {
      ...at,
      barrel: barrel.id,
      water_l: volume_l!,
      ...(dose_ml ? { spirit_dose_ml: dose_ml } : {}),
      ...(barrel.bung_tight ? { bung_clock: Number(clock) } : {}),
    });
  };
  return (
    <SheetForm
      title={`Wet hold: ${barrel.name}`}
      label="It is held wet"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Wet hold')}
    >
      <p class="note">
        Flush it till it runs clear, through the bung. Water without chlorine, on a tray, bung in.
      </p>
      <Field
        label="Water"
        inputMode="decimal"
        unit="L"
        value={amount}
        onInput={setAmount}
        error={wrong.amount}
        hint={`${unit(half_mm, 'mm')} on the rod is half.`}
      />
      <Field
        label="A dose of the next spirit"
        inputMode="decimal"
        unit="mL"
        value={dose}
        onInput={setDose}
        error={wrong.dose}
        hint="30 to 60 mL if you like its scent; none is as good."
      />
      {dose_ml !== null && dose_ml > 0 && volume_l !== null && (
        <p class="note ink">{doseWords(dose_ml, volume_l)}</p>
      )}
      <ClockChoice barrel={barrel} value={clock} onChange={setClock} />
    </SheetForm>
  );
}
