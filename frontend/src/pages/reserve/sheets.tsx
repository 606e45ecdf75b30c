import { useState } from 'preact/hooks';
import type { Suggestion } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { barrels } from '~/outbox/overlay.ts';
import { addDays } from '~/science/dates.ts';
import { datesWords, FILL_KINDS, kindOf, type Wish } from '../words/reserve.ts';
import { typedNumber } from '../words/typed.ts';

export interface WishSheetProps {
  wish: Wish;
  onChange: (part: Partial<Wish>) => void;
  close: () => void;
}

/** How much: as typed, or the size of a barrel of this club. */
export function AmountSheet({ wish, onChange, close }: WishSheetProps) {
  const [text, setText] = useState(String(wish.volume_l));
  const [wrong, setWrong] = useState('');
  const sizes = [...new Set(barrels.value.map((barrel) => barrel.nominal_l))].sort((a, b) => a - b);
  const take = (event: Event): void => {
    event.preventDefault();
    const typed = typedNumber(text);
    if (typed === null || typed <= 0 || typed > 350) {
      setWrong('A barrel here holds less than that.');
      return;
    }
    onChange({ volume_l: typed });
    close();
  };
  return (
    <form class="stack" onSubmit={take} noValidate>
      <Field
        label="Litres"
        inputMode="decimal"
        unit="L"
        value={text}
        onInput={setText}
        error={wrong}
        allowed={wrong ? 'more than 0, up to 350 L' : undefined}
      />
      {sizes.length > 0 && (
        <div class="reserve__sizes">
          {sizes.map((size) => (
            <Press
              key={size}
              chosen={size === wish.volume_l}
              onPress={() => {
                onChange({ volume_l: size });
                close();
              }}
            >
              {size}
              {'\u00a0'}L
            </Press>
          ))}
        </div>
      )}
      <Press type="submit" tone="go" full>
        Take it
      </Press>
    </form>
  );
}

export interface KindSheetProps extends WishSheetProps {
  isOwn?: boolean;
  withAmount?: boolean;
}

/** What: its kind decides what the wood may pass on; a name of one's own is welcome. */
export function KindSheet({ wish, onChange, close, isOwn, withAmount }: KindSheetProps) {
  const [name, setName] = useState(wish.fill_name);
  const [strength, setStrength] = useState(wish.abv_pct === null ? '' : String(wish.abv_pct));
  const [amount, setAmount] = useState(String(wish.volume_l));
  const [kind, setKind] = useState(kindOf(wish));
  const [wrong, setWrong] = useState<{ strength?: string; amount?: string }>({});
  const take = (event: Event): void => {
    event.preventDefault();
    const abv = strength.trim() === '' ? null : typedNumber(strength);
    const volume = typedNumber(amount);
    const found = {
      ...(strength.trim() !== '' && (abv === null || abv < 0 || abv > 97)
        ? { strength: 'That is no strength of a spirit.' }
        : {}),
      ...(volume === null || volume <= 0 || volume > 350
        ? { amount: 'A barrel here holds less than that.' }
        : {}),
    };
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    const chosen = FILL_KINDS.find((one) => one.value === kind)!;
    onChange({
      fill_name: name.trim(),
      spirit: chosen.spirit,
      family: chosen.family,
      abv_pct: abv,
      ...(withAmount ? { volume_l: volume! } : {}),
    });
    close();
  };
  const form = (
    <form class="stack" onSubmit={take} noValidate>
      <Choice
        label="What kind?"
        value={kind}
        onChange={setKind}
        options={FILL_KINDS.map(({ value, label }) => ({ value, label }))}
        hint="By kind only: it decides what the wood may pass on."
      />
      <Field
        label="Its name"
        value={name}
        onInput={setName}
        maxLength={80}
        hint="As you would write it on a bottle. May stay empty."
      />
      {withAmount && (
        <Field
          label="Litres"
          inputMode="decimal"
          unit="L"
          value={amount}
          onInput={setAmount}
          error={wrong.amount}
          allowed={wrong.amount ? 'more than 0, up to 350 L' : undefined}
        />
      )}
      <Field
        label="Strength, if you know it"
        inputMode="decimal"
        unit="% vol"
        value={strength}
        onInput={setStrength}
        error={wrong.strength}
        allowed={wrong.strength ? '0 to 97 % vol' : undefined}
        hint="Weak mixes spoil in wood, strong ones are too hot for small barrels."
      />
      <Press type="submit" tone="go" full>
        Take it
      </Press>
    </form>
  );
  if (!isOwn) return form;
  return (
    <Sheet open onClose={close} title="Your wish" closeLabel="Leave it">
      {form}
    </Sheet>
  );
}

export interface DatesSheetProps extends WishSheetProps {
  today: string;
  isOwn?: boolean;
  best?: Suggestion | undefined;
}

/** From when, and for how many weeks. */
export function DatesSheet({ wish, today, onChange, close, isOwn, best }: DatesSheetProps) {
  const [from, setFrom] = useState(wish.earliest);
  const [weeks, setWeeks] = useState(String(wish.weeks));
  const [wrong, setWrong] = useState<{ from?: string; weeks?: string }>({});
  const last = addDays(today, 1095);
  const take = (event: Event): void => {
    event.preventDefault();
    const count = typedNumber(weeks);
    const found = {
      ...(from < today || from > last ? { from: 'Nobody can fill then.' } : {}),
      ...(count === null || count < 1 || count > 156 || !Number.isInteger(count)
        ? { weeks: 'A fill lasts whole weeks.' }
        : {}),
    };
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    onChange({ earliest: from, weeks: count! });
    close();
  };
  const form = (
    <form class="stack" onSubmit={take} noValidate>
      {best && (
        <p class="note">The barrel on top would be yours {datesWords(best.starts_on, best.ends_on)}.</p>
      )}
      <Field
        label="From, at the earliest"
        type="date"
        value={from}
        onInput={setFrom}
        min={today}
        max={last}
        error={wrong.from}
        allowed={wrong.from ? `${today} to ${last}` : undefined}
      />
      <Field
        label="For about"
        inputMode="numeric"
        unit="weeks"
        value={weeks}
        onInput={setWeeks}
        error={wrong.weeks}
        allowed={wrong.weeks ? '1 to 156 weeks' : undefined}
      />
      <Press type="submit" tone="go" full>
        Take it
      </Press>
    </form>
  );
  if (!isOwn) return form;
  return (
    <Sheet open onClose={close} title="Dates" closeLabel="Leave it">
      {form}
    </Sheet>
  );
}
