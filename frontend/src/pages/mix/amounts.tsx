import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { vesselBy } from '~/outbox/overlay-glass.ts';
import { ALLERGEN_OPTIONS, hasLabelToRead } from '../words/ingredients.ts';
import { amountText, amountWords, plannedWords, typedAmountL } from '../words/mix.ts';
import {
  type Mix,
  type MixDraft,
  type MixPart,
  type PartNow,
  pouredEarlier,
  pouredL,
} from '../words/mix-plan.ts';
import { tooMuchWords } from '../words/mix-vessel.ts';
import { unit } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';

interface AmountsSheetProps {
  draft: MixDraft;
  mix: Mix | null;
  onChange: (part: Partial<MixDraft>) => void;
  onAdd: (what: 'vessel' | 'spirit') => void;
  onClose: () => void;
}

/** As many as the server takes. */
const MANY_PARTS = 12;

/** What was really poured of each part, in order; and what its label says where the recipe knew it otherwise. */
export function AmountsSheet({ draft, mix, onChange, onAdd, onClose }: AmountsSheetProps) {
  const change = (key: string, part: Partial<MixPart>): void =>
    onChange({ parts: draft.parts.map((one) => (one.key === key ? { ...one, ...part } : one)) });
  return (
    <Sheet open onClose={onClose} title="Amounts" closeLabel="Done">
      <p class="note">As you pour, write what it really was. In the order of pouring.</p>
      <ol>
        {draft.parts.map((part, i) => (
          <AmountItem
            key={part.key}
            part={part}
            row={mix?.parts[i]}
            draft={draft}
            isFirst={i === 0}
            onChange={(changed) => change(part.key, changed)}
            onEarlier={() => onChange({ parts: pouredEarlier(draft.parts, part.key) })}
            {...(part.vessel && draft.parts.length > 1
              ? { onLeaveOut: () => onChange({ parts: draft.parts.filter((one) => one.key !== part.key) }) }
              : {})}
          />
        ))}
      </ol>
      {draft.parts.length < MANY_PARTS && (
        <div class="mix__two gap4">
          <Press onPress={() => onAdd('vessel')}>Add from a vessel</Press>
          {draft.parts.every((part) => part.vessel) && (
            <Press onPress={() => onAdd('spirit')}>Add a plain spirit</Press>
          )}
        </div>
      )}
    </Sheet>
  );
}

interface AmountItemProps {
  part: MixPart;
  row: PartNow | undefined;
  draft: MixDraft;
  isFirst: boolean;
  onChange: (part: Partial<MixPart>) => void;
  onEarlier: () => void;
  /** What came out of a vessel can stay there. */
  onLeaveOut?: () => void;
}

function shownAmount(part: MixPart, draft: MixDraft): string {
  const { poured } = part;
  if (!poured) return '';
  if ('mass_kg' in poured) return draft.by === 'weight' ? String(poured.mass_kg) : '';
  return draft.by === 'weight' ? '' : amountText(poured.volume_l, draft.unit, part);
}

const NO_AMOUNT = 'That is no amount.';
const UNIT_WORDS = { L: 'L', mL: 'mL', 'fl oz': 'fl oz', bottles: 'bottles' } as const;

function AmountItem({ part, row, draft, isFirst, onChange, onEarlier, onLeaveOut }: AmountItemProps) {
  const [text, setText] = useState(shownAmount(part, draft));
  const [wrong, setWrong] = useState('');
  const [isOpen, setOpen] = useState(false);
  const byWeight = draft.by === 'weight';
  const vessel = part.vessel ? vesselBy(part.vessel) : undefined;
  const take = (typed: string): void => {
    setText(typed);
    if (typed.trim() === '') {
      setWrong('');
      onChange({ poured: null });
      return;
    }
    const amount = byWeight ? typedNumber(typed) : typedAmountL(typed, draft.unit, part);
    if (amount === null || amount < 0 || amount > 400) {
      setWrong(NO_AMOUNT);
      return;
    }
    const poured = byWeight ? { mass_kg: amount } : { volume_l: amount };
    const tooMuch = vessel ? tooMuchWords(pouredL(part, poured, draft.temp_c), vessel, draft.unit) : null;
    setWrong(tooMuch ?? '');
    if (!tooMuch) onChange({ poured });
  };
  const planned = row ? plannedWords(row, draft) : '';
  const hints = [
    planned ? `Planned ${planned}` : '',
    vessel ? `${amountWords(vessel.left_l, draft.unit, part)} is left in it` : '',
  ].filter(Boolean);
  return (
    <li class="mix__amount">
      <Field
        label={`${part.name}, ${unit(Number(part.abv_pct.toFixed(1)), '%')}`}
        inputMode="decimal"
        unit={byWeight ? 'kg' : UNIT_WORDS[draft.unit]}
        value={text}
        onInput={take}
        {...(hints.length > 0 ? { hint: hints.join('; ') } : {})}
        error={wrong || undefined}
        allowed={wrong === NO_AMOUNT ? '0 to 400' : undefined}
      />
      <div class="mix__two">
        {!isFirst && <Press onPress={onEarlier}>Pour it earlier</Press>}
        {part.vessel ? (
          onLeaveOut && (
            <Press onPress={onLeaveOut}>
              Leave it out<span class="sr">: {part.name}</span>
            </Press>
          )
        ) : (
          <Press onPress={() => setOpen(!isOpen)}>Its label</Press>
        )}
      </div>
      {isOpen && <LabelFields part={part} onChange={onChange} />}
    </li>
  );
}

/** What the bottle in the hand says. */
export function LabelFields({
  part,
  onChange,
}: {
  part: MixPart;
  onChange: (part: Partial<MixPart>) => void;
}) {
  return (
    <div class="stack">
      <NumberField
        label="Strength"
        unit="% vol"
        value={part.abv_pct}
        low={0}
        high={97}
        onChange={(abv_pct) => onChange({ abv_pct })}
      />
      <NumberField
        label="Sugar"
        unit="g/L"
        value={part.sugar_g_l}
        low={0}
        high={900}
        onChange={(sugar_g_l) => onChange({ sugar_g_l })}
      />
      {hasLabelToRead(part.kind) && (
        <AllergenTicks value={part.allergens} onChange={(allergens) => onChange({ allergens })} />
      )}
    </div>
  );
}

/** A number that is only taken over while it can be. */
export function NumberField(props: {
  label: string;
  unit: string;
  value: number | null;
  low: number;
  high: number;
  hint?: string;
  onChange: (value: number) => void;
  onEmpty?: () => void;
}) {
  const [text, setText] = useState(props.value === null ? '' : String(Number(props.value.toFixed(4))));
  const [isWrong, setWrong] = useState(false);
  return (
    <Field
      label={props.label}
      unit={props.unit}
      inputMode="decimal"
      value={text}
      {...(props.hint ? { hint: props.hint } : {})}
      onInput={(typed) => {
        setText(typed);
        if (typed.trim() === '' && props.onEmpty) {
          setWrong(false);
          props.onEmpty();
          return;
        }
        const value = typedNumber(typed);
        const fits = value !== null && value >= props.low && value <= props.high;
        setWrong(!fits);
        if (fits) props.onChange(value);
      }}
      error={isWrong ? 'That cannot be.' : undefined}
      allowed={isWrong ? `${props.low} to ${props.high} ${props.unit}` : undefined}
    />
  );
}

/** The fourteen allergens of a label: none of them is an answer too, and not the same as not having looked. */
export function AllergenTicks({
  value,
  onChange,
}: {
  value: MixPart['allergens'];
  onChange: (value: MixPart['allergens']) => void;
}) {
  const has = value ?? [];
  return (
    <fieldset>
      <legend class="field__label">Allergens on its label</legend>
      <label class="mix__tick">
        <input
          type="checkbox"
          checked={value !== null && value.length === 0}
          onChange={(event) => onChange(event.currentTarget.checked ? [] : null)}
        />
        None: I have read it
      </label>
      <div class="mix__ticks">
        {ALLERGEN_OPTIONS.map((one) => (
          <label key={one.value} class="mix__tick">
            <input
              type="checkbox"
              checked={has.includes(one.value)}
              onChange={(event) => {
                const others = has.filter((name) => name !== one.value);
                onChange(event.currentTarget.checked ? [...others, one.value] : others);
              }}
            />
            {one.label}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
