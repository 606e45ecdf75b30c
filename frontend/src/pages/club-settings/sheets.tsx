import { useState } from 'preact/hooks';
import type { Club } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { type Kept, keepEdit } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import {
  currencyWrong,
  drinkOptions,
  FIGURES,
  MAY,
  PULL_BY,
  pullWords,
  typedFigures,
  zones,
} from '../words/club-settings.ts';
import { LAW, lawAnswer, withAnswer } from '../words/law.ts';

export interface SheetProps {
  row: Club;
  onClose: () => void;
  onKept: () => void;
}

/** Keeps what differs from the row; nothing is sent where nothing does. */
async function keepChanges(row: Club, changes: Partial<Club>): Promise<Kept> {
  const fields = Object.entries(changes).filter(([field, value]) => row[field as keyof Club] !== value);
  if (fields.length > 0) return keepEdit('club', row.id, row.version, Object.fromEntries(fields));
  return { ok: true, recorded: { id: '' } as Extract<Kept, { ok: true }>['recorded'] };
}

export function NameSheet({ row, onClose, onKept }: SheetProps) {
  const [name, setName] = useState(row.name);
  const [timezone, setTimezone] = useState(row.timezone);
  const [currency, setCurrency] = useState(row.currency);
  const [wrong, setWrong] = useState<{ name?: string; currency?: string | undefined }>({});
  const save = async () => {
    const found = { ...(name.trim() ? {} : { name: 'It needs a name.' }), currency: currencyWrong(currency) };
    setWrong(found);
    if (found.name || found.currency) return null;
    return keepChanges(row, { name: name.trim(), timezone, currency });
  };
  return (
    <SheetForm title="Name, clock and money" onClose={onClose} onSave={save} onKept={onKept}>
      <Field label="Name" value={name} onInput={setName} maxLength={120} error={wrong.name} />
      <Choice
        label="Time zone"
        value={timezone}
        onChange={setTimezone}
        options={zones(row.timezone).map((zone) => ({ value: zone, label: zone.replaceAll('_', ' ') }))}
        hint="A day begins and ends by the clock on the club’s wall."
      />
      <Field
        label="Currency"
        value={currency}
        onInput={setCurrency}
        maxLength={3}
        autoCapitalize="characters"
        error={wrong.currency}
        hint="Amounts that stand already are not changed into another."
      />
    </SheetForm>
  );
}

export function RulesSheet({ row, onClose, onKept }: SheetProps) {
  const [pull_by, setPullBy] = useState(row.pull_by);
  const [may, setMay] = useState(() => Object.fromEntries(MAY.map(({ field }) => [field, row[field]])));
  return (
    <SheetForm
      title="Who may do what"
      onClose={onClose}
      onSave={() => keepChanges(row, { pull_by, ...may })}
      onKept={onKept}
    >
      <PressGroup
        label="Who says that a fill is pulled?"
        options={PULL_BY}
        value={pull_by}
        onChange={(value) => setPullBy(value ?? row.pull_by)}
      />
      <p class="note">{pullWords(pull_by)}</p>
      {MAY.map(({ field, label }) => (
        <label key={field} class="care-settings__strict">
          <input
            type="checkbox"
            checked={may[field] === true}
            onChange={(event) => setMay({ ...may, [field]: event.currentTarget.checked })}
          />
          <span>{label}</span>
        </label>
      ))}
    </SheetForm>
  );
}

export function FiguresSheet({ row, onClose, onKept }: SheetProps) {
  const [typed, setTyped] = useState<Parameters<typeof typedFigures>[1]>({});
  const [wrong, setWrong] = useState<typeof typed>({});
  const save = async () => {
    const found = typedFigures(row, typed);
    setWrong(found.wrong);
    return Object.keys(found.wrong).length > 0 ? null : keepChanges(row, found.changes);
  };
  return (
    <SheetForm title="Samples and reservations" onClose={onClose} onSave={save} onKept={onKept}>
      {FIGURES.map(({ field, label, unit, low, high, hint }) => (
        <Field
          key={field}
          label={label}
          inputMode="decimal"
          unit={unit}
          hint={hint}
          value={typed[field] ?? String(row[field])}
          onInput={(text) => setTyped({ ...typed, [field]: text })}
          error={wrong[field]}
          allowed={wrong[field] ? `${low} to ${high} ${unit}` : undefined}
        />
      ))}
    </SheetForm>
  );
}

export function DrinkSheet({ row, onClose, onKept }: SheetProps) {
  const [drink_country, setCountry] = useState(row.drink_country);
  return (
    <SheetForm
      title="A standard drink"
      onClose={onClose}
      onSave={() => keepChanges(row, { drink_country })}
      onKept={onKept}
    >
      <Choice
        label="Counted as in"
        value={drink_country}
        onChange={(value) => setCountry(value as Club['drink_country'])}
        options={drinkOptions(row.drink_sizes)}
        hint="A country that is not here is counted by the World Health Organization’s ten grams."
      />
      <p class="note">
        A taster is told how much it was this evening, a mix how much is in it. It is a measure, and no leave
        to drink.
      </p>
    </SheetForm>
  );
}

export function LawSheet({ row, about, onClose, onKept }: SheetProps & { about: string }) {
  const asked = LAW.find((one) => one.key === about);
  const before = lawAnswer(row.law, about);
  const [answer, setAnswer] = useState(before?.answer ?? '');
  const [source, setSource] = useState(before?.source ?? '');
  const [asked_on, setAskedOn] = useState(before?.asked_on ?? '');
  return (
    <SheetForm
      title={asked?.title ?? 'The law'}
      onClose={onClose}
      onSave={() => keepChanges(row, { law: withAnswer(row.law, about, { answer, source, asked_on }) })}
      onKept={onKept}
    >
      <p>{asked?.question}</p>
      <Field
        label="The answer"
        value={answer}
        onInput={setAnswer}
        maxLength={300}
        hint="Left empty, the question is open again."
      />
      <Field label="Who said so, or where it stands" value={source} onInput={setSource} maxLength={300} />
      <Field label="Asked on" type="date" value={asked_on} onInput={setAskedOn} />
    </SheetForm>
  );
}
