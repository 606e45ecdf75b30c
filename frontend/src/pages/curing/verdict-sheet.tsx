import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { densityFromAbvKgM3 } from '~/science/alcoholometry.ts';
import { volumeFromWeightL } from '~/science/gauging.ts';
import { abvPct, celsius, kilograms } from '~/science/units.ts';
import { keep } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { useWhenAt } from '../parts/when.tsx';
import { isShownTight } from '../words/curing.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import type { CuringSheetProps } from './sheets.tsx';

/** What two weights make, or null while they do not make a barrel. */
export function weighedCapacityL(full: string, wet: string, temp: string): number | null {
  const [full_kg, wet_kg] = [typedNumber(full), typedNumber(wet)];
  const temp_c = temp.trim() === '' ? 20 : typedNumber(temp);
  if (full_kg === null || wet_kg === null || temp_c === null || temp_c < 0 || temp_c > 40) return null;
  if (wet_kg <= 0 || full_kg <= wet_kg) return null;
  const density = densityFromAbvKgM3(abvPct(0), celsius(temp_c));
  return volumeFromWeightL(kilograms(full_kg - wet_kg), density);
}

/** Further than this from its name a capacity is read twice (design value, no source). */
const ODD_FRACTION = 0.2;

/** Tight: with the two weights that make its capacity. */
export function TightSheet({ barrel, judged, onClose, onKept }: CuringSheetProps) {
  const when = useWhenAt(barrel);
  const [full, setFull] = useState('');
  const [wet, setWet] = useState('');
  const [temp, setTemp] = useState('');
  // What was said of which weights: once they are mended it is of the past.
  const [said, setSaid] = useState({ of: '', words: '' });
  const weights = `${full} ${wet} ${temp}`;
  const capacity_l = weighedCapacityL(full, wet, temp);
  const isOdd = capacity_l !== null && Math.abs(capacity_l / barrel.nominal_l - 1) > ODD_FRACTION;
  const wrong = said.of === weights ? said.words : '';
  const save = async () => {
    const typed = [full, wet].filter((one) => one.trim() !== '').length;
    const words =
      typed > 0 && (typed < 2 || capacity_l === null)
        ? 'Both weights, the full one the heavier; or neither.'
        : // The same weights twice are no slip of the eye: then they are kept as they are.
          isOdd && said.of !== weights
          ? `That makes ${litres(capacity_l, 2)}, and the maker says ${litres(barrel.nominal_l)}. Weigh it once more; if it is so, press again.`
          : '';
    setSaid({ of: weights, words });
    const at = when.said();
    if (words || at === null) return null;
    const temp_c = typedNumber(temp);
    return keep('curing-verdicts', {
      ...at,
      barrel: barrel.id,
      verdict: 'tight',
      ...(capacity_l === null
        ? {}
        : {
            full_mass_kg: typedNumber(full)!,
            wet_mass_kg: typedNumber(wet)!,
            weighed_capacity_l: Number(capacity_l.toFixed(4)),
            ...(temp_c === null ? {} : { water_temp_c: temp_c }),
          }),
    });
  };
  return (
    <SheetForm
      title={`Tight: ${barrel.name}`}
      label="It is tight"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Tight')}
    >
      {!isShownTight(judged) && (
        <p>The top-ups do not show it yet. Your word counts, and the log says that they did not.</p>
      )}
      <p class="note">Weigh it full, drain it ten minutes through the bung, smell it, weigh it again wet.</p>
      <Field label="Full of water" inputMode="decimal" unit="kg" value={full} onInput={setFull} />
      <Field label="Drained, the wood wet" inputMode="decimal" unit="kg" value={wet} onInput={setWet} />
      <Field
        label="The water’s temperature"
        inputMode="decimal"
        unit="°C"
        value={temp}
        onInput={setTemp}
        hint="20 °C if you leave it."
      />
      {capacity_l !== null && !wrong && (
        <p class="reck" aria-live="polite">
          It holds {litres(capacity_l, 3)}, by weight. The maker says {litres(barrel.nominal_l)}.
        </p>
      )}
      {wrong && <p class="red">{wrong}</p>}
    </SheetForm>
  );
}

/** Given up, with the reason. */
export function GiveUpSheet({ barrel, onClose, onKept }: CuringSheetProps) {
  const when = useWhenAt(barrel);
  const [reason, setReason] = useState('');
  const [wrong, setWrong] = useState<string>();
  const save = async () => {
    setWrong(reason.trim() === '' ? 'Say why: the next who tries will ask.' : undefined);
    const at = when.said();
    if (reason.trim() === '' || at === null) return null;
    return keep('curing-verdicts', { ...at, barrel: barrel.id, verdict: 'given_up', reason: reason.trim() });
  };
  return (
    <SheetForm
      title={`Give it up: ${barrel.name}`}
      label="Give this curing up"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Given up')}
    >
      <p>Drain it and let it rest. It can be cured once more; not tight after two cures, it is retired.</p>
      <Field label="Why" value={reason} onInput={setReason} maxLength={300} error={wrong} />
    </SheetForm>
  );
}
