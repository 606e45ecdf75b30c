import '../mix/style.css';
import '../fill/style.css';
import type { Ingredient } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { people } from '~/outbox/overlay.ts';
import { Sharers } from '../fill/sharers.tsx';
import { AllergenTicks, NumberField } from '../mix/amounts.tsx';
import {
  MOST_PARTS,
  partAmount,
  partsOf,
  plannedDays,
  type SaidPart,
  weeksOf,
  withAmount,
  withLabel,
} from '../words/correct.ts';
import { hasLabelToRead, KIND_OPTIONS } from '../words/ingredients.ts';

export interface SayProps {
  /** The entry as it would be corrected so far. */
  body: Record<string, unknown>;
  onChange: (changed: Record<string, unknown>) => void;
}

type Shares = { person: string; weight: number }[];

/** A fill said anew: its name, what was poured, whose it is, for how long, and who may see it. */
export function CorrectFill({ body, onChange }: SayProps) {
  const parts = partsOf(body);
  const put = (next: SaidPart[]): void => onChange({ parts: next });
  const isPrivate = body.is_private === true;
  return (
    <>
      <Field
        label="Its name"
        value={String(body.name ?? '')}
        onInput={(name) => onChange({ name })}
        maxLength={80}
      />
      {parts.map((part, number) => (
        <Part
          // A part has no key of its own, and the list only grows or loses one at a press.
          key={`${parts.length} ${number}`}
          part={part}
          number={number + 1}
          onChange={(next) => put(parts.map((one, i) => (i === number ? next : one)))}
          {...(parts.length > 1 ? { onLeaveOut: () => put(parts.filter((_, i) => i !== number)) } : {})}
        />
      ))}
      {parts.length < MOST_PARTS && (
        <Press onPress={() => put([...parts, { name: '', kind: 'spirit', abv_pct: 40 }])}>Add a part</Press>
      )}
      <h3 class="lead b">Whose it is</h3>
      <Sharers
        sharers={Array.isArray(body.sharers) ? (body.sharers as Shares) : []}
        club_weight={typeof body.club_weight === 'number' ? body.club_weight : 0}
        onChange={(sharers, club_weight) =>
          onChange({
            sharers,
            club_weight: club_weight > 0 ? club_weight : undefined,
            shares_total: undefined,
          })
        }
      />
      <NumberField
        label="For about"
        unit="weeks"
        value={weeksOf(body)}
        low={1}
        high={520}
        onChange={(weeks) => onChange({ planned_days: plannedDays(weeks) })}
        onEmpty={() => onChange({ planned_days: undefined })}
      />
      <label class="mix__tick">
        <input
          type="checkbox"
          checked={isPrivate}
          onChange={(event) =>
            onChange({
              is_private: event.currentTarget.checked,
              ...(event.currentTarget.checked ? { open_to_tasting: false } : {}),
            })
          }
        />
        Private: only its sharers and the keepers see what it is
      </label>
      {!isPrivate && (
        <label class="mix__tick">
          <input
            type="checkbox"
            checked={body.open_to_tasting !== false}
            onChange={(event) => onChange({ open_to_tasting: event.currentTarget.checked })}
          />
          Every member may taste it
        </label>
      )}
    </>
  );
}

interface PartProps {
  part: SaidPart;
  number: number;
  onChange: (part: SaidPart) => void;
  onLeaveOut?: () => void;
}

function Part({ part, number, onChange, onLeaveOut }: PartProps) {
  const { value, unit } = partAmount(part);
  return (
    <fieldset class="mix__amount">
      <legend class="b">Part {number}</legend>
      <Field label="Name" value={part.name} onInput={(name) => onChange({ ...part, name })} maxLength={80} />
      <NumberField
        label="Poured"
        unit={unit}
        value={value}
        low={0.001}
        high={400}
        onChange={(amount) => onChange(withAmount(part, amount))}
      />
      <NumberField
        label="Strength"
        unit="% vol"
        value={part.abv_pct}
        low={0}
        high={97}
        onChange={(abv_pct) => onChange(withLabel(part, { abv_pct }))}
      />
      <NumberField
        label="Sugar"
        unit="g/L"
        value={part.sugar_g_l ?? 0}
        low={0}
        high={900}
        onChange={(sugar_g_l) => onChange(withLabel(part, { sugar_g_l }))}
      />
      {!part.vessel && (
        <>
          <Choice
            label="Kind"
            value={part.kind ?? 'spirit'}
            onChange={(kind) => onChange({ ...part, kind: kind as Ingredient })}
            options={KIND_OPTIONS}
          />
          <Choice
            label="Who gave it"
            value={part.supplied_by ?? ''}
            onChange={(person) => onChange({ ...part, supplied_by: person || null })}
            options={[
              { value: '', label: 'The club' },
              ...people.value
                .filter((one) => one.role !== 'tablet' && one.role !== 'sensor')
                .map((one) => ({ value: one.id, label: one.name })),
            ]}
          />
          {hasLabelToRead(part.kind ?? null) && (
            <AllergenTicks
              value={part.allergens ?? null}
              onChange={(allergens) => onChange({ ...part, allergens })}
            />
          )}
        </>
      )}
      {onLeaveOut && (
        <Press onPress={onLeaveOut}>
          Leave it out<span class="sr">: {part.name || `part ${number}`}</span>
        </Press>
      )}
    </fieldset>
  );
}
