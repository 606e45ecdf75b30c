import { useState } from 'preact/hooks';
import type { BarrelState } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { barrels } from '~/outbox/overlay.ts';
import { type ShownVessel, vessels } from '~/outbox/overlay-glass.ts';
import { VesselDrawing } from '../lessons/vessel.tsx';
import { useGo } from '../parts/go.ts';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import { capacityWords, STATES } from '../words/barrel.ts';
import { FIRE, VESSELS } from '../words/cautions.ts';
import { warnedWords, whyNotPoured } from '../words/glass.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';

interface SheetProps {
  vessel: ShownVessel;
  onClose: () => void;
  onSaid: (words: string) => void;
}

/** As much as the server takes. */
const MOST_WATER_L = 400;

/** A number of litres, or the sentence that says what is wrong with it. */
function litresTyped(text: string, most_l: number): { value: number } | { error: string } {
  const value = typedNumber(text);
  if (value === null || value <= 0) return { error: 'Say how many litres.' };
  if (value > 1.1 * most_l) return { error: `It held ${litres(most_l)}; that much cannot come out of it.` };
  return { value };
}

/** Pouring two vessels together, or one with water. */
export function BlendSheet({ vessel, onClose, onSaid }: SheetProps) {
  const others = vessels.value.filter((one) => one.id !== vessel.id && one.left_l > 0.005 && mayWork(one));
  const [amount, setAmount] = useState(String(Number(vessel.left_l.toFixed(2))));
  const [other, setOther] = useState('');
  const [more, setMore] = useState('');
  const [water, setWater] = useState('');
  const [name, setName] = useState('');
  const [problem, setProblem] = useState('');
  const second = others.find((one) => one.id === other);
  const warned = second ? warnedWords([...new Set([...vessel.allergens, ...second.allergens])]) : null;

  const save = async (): Promise<void> => {
    const first = litresTyped(amount, vessel.volume_l);
    const next = second ? litresTyped(more, second.volume_l) : null;
    const water_l = water.trim() ? typedNumber(water) : 0;
    if ('error' in first) return setProblem(first.error);
    if (next && 'error' in next) return setProblem(next.error);
    if (water_l === null || water_l < 0 || water_l > MOST_WATER_L)
      return setProblem(`Water is a number of litres, up to ${MOST_WATER_L}.`);
    if (!next && !water_l) return setProblem('Choose another vessel, or say how much water.');
    if (!name.trim()) return setProblem('Give the blend a name.');
    const parts = [{ vessel: vessel.id, volume_l: first.value }];
    if (second && next) parts.push({ vessel: second.id, volume_l: next.value });
    const kept = await keep('blends', { name: name.trim(), parts, ...(water_l ? { water_l } : {}) });
    if (kept.ok) onSaid(`Blended. ${keptWords()}`);
    else setProblem(kept.words);
  };

  return (
    <Sheet open title="Blend it" onClose={onClose}>
      <div class="stack">
        <LessonFor name="vessel" drawing={<VesselDrawing />} />
        <Note tone="ink">{FIRE}</Note>
        <Note tone="ink">{VESSELS}</Note>
        <Field
          label={`Of ${vessel.name || 'this'}`}
          unit="L"
          inputMode="decimal"
          value={amount}
          onInput={setAmount}
        />
        <Choice
          label="With"
          options={[
            { value: '', label: 'Water only' },
            ...others.map((one) => ({ value: one.id, label: `${one.name}, ${litres(one.left_l)} left` })),
          ]}
          value={other}
          onChange={setOther}
        />
        {second && (
          <Field label={`Of ${second.name}`} unit="L" inputMode="decimal" value={more} onInput={setMore} />
        )}
        <Field
          label="Water"
          unit="L"
          inputMode="decimal"
          value={water}
          onInput={setWater}
          hint="Added slowly, it shrinks a little."
        />
        <Field label="Name of the blend" value={name} onInput={setName} maxLength={80} />
        {warned && <Note tone="ink">{warned}</Note>}
        {problem && (
          <p class="red" role="alert">
            {problem}
          </p>
        )}
        <Press tone="go" full onPress={() => void save()}>
          Blend
        </Press>
      </div>
    </Sheet>
  );
}

/** What can take a fill, the likeliest first. */
const TAKES_A_FILL: BarrelState[] = ['ready', 'empty', 'held', 'curing', 'new'];

/** Which barrel it goes into; how much, and what goes in with it, is the mix's to say. */
export function WoodSheet({ vessel, onClose }: Pick<SheetProps, 'vessel' | 'onClose'>) {
  const go = useGo();
  const open = TAKES_A_FILL.flatMap((state) => barrels.value.filter((barrel) => barrel.state === state));
  const [chosen, setChosen] = useState(open[0]?.id ?? '');
  const refused = whyNotPoured(vessel, mayWork(vessel));
  return (
    <Sheet open title="Back into wood" onClose={onClose}>
      <div class="stack">
        {refused && <p class="red">{refused}</p>}
        {!refused && open.length === 0 && <p>Every barrel is filled. Decant one, or adopt another.</p>}
        {!refused && open.length > 0 && (
          <>
            <Choice
              label="Into which barrel?"
              options={open.map((barrel) => ({
                value: barrel.id,
                label: `${barrel.name}, ${capacityWords(barrel)}, ${STATES[barrel.state].toLowerCase()}`,
              }))}
              value={chosen}
              onChange={setChosen}
            />
            <Note>All of it or a part, alone or with something new on top: that is said next.</Note>
            <Press tone="go" full onPress={() => go(`/barrels/${chosen}/mix?vessel=${vessel.id}`)}>
              Mix for it
            </Press>
          </>
        )}
      </div>
    </Sheet>
  );
}

/** Pouring away, with the reason. */
export function DiscardSheet({ vessel, onClose, onSaid }: SheetProps) {
  const [amount, setAmount] = useState(String(Number(vessel.left_l.toFixed(2))));
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState('');
  const save = async (): Promise<void> => {
    const volume = litresTyped(amount, vessel.volume_l);
    if ('error' in volume) return setProblem(volume.error);
    if (!reason.trim()) return setProblem('Say why it is poured away.');
    const kept = await keep('discards', { vessel: vessel.id, volume_l: volume.value, reason: reason.trim() });
    if (kept.ok) onSaid(`Written down. ${keptWords()}`);
    else setProblem(kept.words);
  };
  return (
    <Sheet open title="Pour it away" onClose={onClose}>
      <div class="stack">
        <Field label="How much" unit="L" inputMode="decimal" value={amount} onInput={setAmount} />
        <Field label="Why" value={reason} onInput={setReason} maxLength={300} />
        <Note>Dilute it well and mind the flame; local rules say where spirit may go.</Note>
        {problem && (
          <p class="red" role="alert">
            {problem}
          </p>
        )}
        <Press tone="red" full onPress={() => void save()}>
          Pour it away
        </Press>
      </div>
    </Sheet>
  );
}
