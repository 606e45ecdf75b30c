import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { ALLERGEN_OPTIONS } from '../words/ingredients.ts';
import { capital } from '../words/numbers.ts';
import {
  allowedWords,
  CHIME,
  type MeasureName,
  type MeasuresDraft,
  TAPE,
  type Taped,
  THICKNESS,
  type Wrong,
} from '../words/register.ts';
import { Ticks } from './ticks.tsx';

const TAPED: { value: Taped; label: string }[] = [
  { value: 'none', label: 'Not measured' },
  { value: 'inside', label: 'Inside' },
  { value: 'outside', label: 'Outside' },
];

export interface MeasureFieldsProps<Draft extends MeasuresDraft> {
  draft: Draft;
  wrong: Wrong;
  onChange: (draft: Draft) => void;
}

/** What a tape and a rule tell of a barrel: its three measures, and how thick its wood is. */
export function MeasureFields<Draft extends MeasuresDraft>(props: MeasureFieldsProps<Draft>) {
  const { draft, wrong, onChange } = props;
  const asked =
    draft.taped === 'outside'
      ? [...TAPE, ...THICKNESS, CHIME]
      : draft.taped === 'inside'
        ? [...TAPE, ...THICKNESS]
        : THICKNESS;
  return (
    <>
      <PressGroup
        label="Where was it measured?"
        options={TAPED}
        value={draft.taped}
        onChange={(taped) => onChange({ ...draft, taped: taped ?? 'none' })}
      />
      {asked.map((measure) => (
        <Field
          key={measure.name}
          label={measure.label}
          inputMode="decimal"
          unit={measure.unit}
          value={draft[measure.name as MeasureName]}
          onInput={(text) => onChange({ ...draft, [measure.name]: text })}
          hint={measure.hint}
          error={wrong[measure.name]}
          allowed={wrong[measure.name] ? allowedWords(measure) : undefined}
        />
      ))}
    </>
  );
}

/** Whether its bung may point anywhere, with what to mind. */
export function BungTight({ value, onChange }: { value: boolean; onChange: (value: boolean) => void }) {
  return (
    <div>
      <label class="tick-line">
        <input type="checkbox" checked={value} onChange={(event) => onChange(event.currentTarget.checked)} />
        Rests tight on any side (bung-tight)
      </label>
      <p class="note gap2">
        Tick it only where the bung stayed dry under water for a week. Its holds are then turned on by a third
        each week, and the screens show where the bung points. Whatever is ticked here, a filled barrel rests
        bung up: a bung that gives way below the line empties it.
      </p>
    </div>
  );
}

const OPTIONS = ALLERGEN_OPTIONS.map(({ value, label }) => ({
  value: value as string,
  label: capital(label),
}));

/** What was in the wood before the club had it. */
export function AllergensBefore({
  label,
  value,
  onChange,
}: {
  label: string;
  value: readonly string[];
  onChange: (value: string[]) => void;
}) {
  return (
    <>
      <Ticks isLead label={label} options={OPTIONS} value={value} onChange={onChange} />
      <p class="note ink">
        Wood remembers: what you tick is named to whoever drinks from it next. In doubt, tick it.
      </p>
    </>
  );
}
