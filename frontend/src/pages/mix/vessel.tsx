import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { club } from '~/outbox/overlay.ts';
import { type ShownVessel, vessels } from '~/outbox/overlay-glass.ts';
import { nameOf } from '../parts/me.ts';
import { mayWork } from '../parts/my-liquid.ts';
import {
  EMPTY_BELOW_L,
  leftWords,
  money,
  ownersWords,
  vesselName,
  vesselStrengthWords,
  warnedWords,
  whyNotPoured,
} from '../words/glass.ts';
import { amountText, amountWords, typedAmountL } from '../words/mix.ts';
import type { AmountUnit } from '../words/mix-plan.ts';
import { tooMuchWords } from '../words/mix-vessel.ts';
import { capital } from '../words/numbers.ts';

interface VesselSheetProps {
  /** The cook's unit. */
  unit: AmountUnit;
  /** Chosen already, where somebody came from a vessel. */
  from?: string | undefined;
  /** Those that are parts of the mix. */
  taken?: readonly string[];
  /** What is proposed of a vessel, in litres; nothing where a mix stands already. */
  proposed_l?: (vessel: ShownVessel) => number;
  onTaken: (vessel: ShownVessel, volume_l: number) => void;
  onClose: () => void;
}

/** One vessel, and how much of it goes in. */
export function VesselSheet({ unit, from, taken = [], proposed_l, onTaken, onClose }: VesselSheetProps) {
  const [id, setId] = useState(from ?? '');
  const shown = vessels.value.filter((vessel) => vessel.left_l > EMPTY_BELOW_L && !taken.includes(vessel.id));
  const vessel = shown.find((one) => one.id === id && !whyNotPoured(one, mayWork(one)));
  return (
    <Sheet open onClose={onClose} title="From a vessel" closeLabel="Leave it">
      {vessel ? (
        <HowMuch
          vessel={vessel}
          unit={unit}
          proposed_l={proposed_l?.(vessel)}
          onTaken={(volume_l) => onTaken(vessel, volume_l)}
          onOther={() => setId('')}
        />
      ) : (
        <VesselList shown={shown} onChoose={setId} />
      )}
    </Sheet>
  );
}

function VesselList({ shown, onChoose }: { shown: ShownVessel[]; onChoose: (id: string) => void }) {
  if (shown.length === 0) return <p>No vessel on this phone has anything left in it.</p>;
  return (
    <ul aria-label="Vessels">
      {shown.map((vessel) => {
        const refused = whyNotPoured(vessel, mayWork(vessel));
        return (
          <li key={vessel.id} class="mix__amount">
            <p class="b">{capital(vesselName(vessel))}</p>
            <p class="note">
              {leftWords(vessel)}; {vesselStrengthWords(vessel)}
            </p>
            {refused ? (
              <p class="due">{refused}</p>
            ) : (
              <Press onPress={() => onChoose(vessel.id)}>
                Pour from it<span class="sr">: {vesselName(vessel)}</span>
              </Press>
            )}
          </li>
        );
      })}
    </ul>
  );
}

const UNIT_WORDS: Record<AmountUnit, string> = { L: 'L', mL: 'mL', 'fl oz': 'fl oz', bottles: 'bottles' };

interface HowMuchProps {
  vessel: ShownVessel;
  unit: AmountUnit;
  proposed_l: number | undefined;
  onTaken: (volume_l: number) => void;
  onOther: () => void;
}

function HowMuch({ vessel, unit, proposed_l, onTaken, onOther }: HowMuchProps) {
  const [text, setText] = useState(proposed_l === undefined ? '' : amountText(proposed_l, unit));
  const [problem, setProblem] = useState('');
  const take = (event: Event): void => {
    event.preventDefault();
    const volume_l = typedAmountL(text, unit) ?? 0;
    const wrong = volume_l > 0 ? tooMuchWords(volume_l, vessel, unit) : 'Say how much of it goes in.';
    setProblem(wrong ?? '');
    // What rounds to all of it is all of it.
    if (!wrong) onTaken(Math.min(volume_l, vessel.left_l));
  };
  return (
    <form class="stack" onSubmit={take} noValidate>
      <div>
        <p class="b">{capital(vesselName(vessel))}</p>
        <About vessel={vessel} />
      </div>
      <Field
        label="How much of it"
        inputMode="decimal"
        unit={UNIT_WORDS[unit]}
        value={text}
        onInput={(typed) => {
          setText(typed);
          setProblem('');
        }}
        hint={`${amountWords(vessel.left_l, unit)} is left in it`}
        error={problem || undefined}
      />
      <div class="mix__two">
        <Press onPress={() => setText(amountText(vessel.left_l, unit))}>All of it</Press>
        <Press onPress={() => setText(amountText(vessel.left_l / 2, unit))}>Half of it</Press>
        <Press onPress={onOther}>Another vessel</Press>
      </div>
      <Press type="submit" tone="go" full>
        Add it to the mix
      </Press>
    </form>
  );
}

/** What comes along with the liquid: strength, people, warnings, what a litre cost. */
export function About({ vessel }: { vessel: ShownVessel }) {
  const warned = warnedWords(vessel.allergens);
  const litre =
    vessel.cost_minor !== null && vessel.volume_l > 0 && club.value
      ? money(Math.round(vessel.cost_minor / vessel.volume_l), club.value.currency)
      : null;
  return (
    <>
      <Note>
        {capital(vesselStrengthWords(vessel))}.{' '}
        {ownersWords(vessel, nameOf) ?? (vessel.is_here ? '' : 'It is the club’s own.')}
        {litre && ` A litre of it cost ${litre}.`}
      </Note>
      {warned && <p class="note ink">{warned}</p>}
    </>
  );
}
