import { useState } from 'preact/hooks';
import type { Joint } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { JointDrawing } from '../lessons/joint.tsx';
import { keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { SheetForm } from '../parts/sheet-form.tsx';
import { useWhenAt } from '../parts/when.tsx';
import { JOINT_PARTS, JOINT_STATES, jointWords } from '../words/curing.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import type { Judged } from './observed.ts';

export interface CuringSheetProps {
  barrel: ShownBarrel;
  judged: Judged;
  onClose: () => void;
  onKept: (title: string) => void;
}

const VESSELS = [
  { value: 2, label: 'Syringe' },
  { value: 5, label: 'Small jug' },
  { value: 20, label: 'Large jug' },
];

type Mark = 'same' | 'higher' | 'stood';

/** How much it took: back to the mark, up to a new one, or nothing at all. */
export function TopUpSheet({ barrel, judged, onClose, onKept }: CuringSheetProps) {
  const when = useWhenAt(barrel);
  const [mark, setMark] = useState<Mark>(judged.observed.is_full ? 'same' : 'higher');
  const [amount, setAmount] = useState('');
  const [vessel, setVessel] = useState(5);
  const [wrong, setWrong] = useState<string>();
  const most_ml = Math.round(1100 * barrel.capacity_l);
  const save = async () => {
    const ml = mark === 'stood' ? 0 : typedNumber(amount);
    const isWrong = ml === null || ml < 0 || ml > most_ml || (ml === 0 && mark !== 'stood');
    setWrong(isWrong ? 'How much did it take?' : undefined);
    const at = when.said();
    if (isWrong || at === null) return null;
    return keep('tendings', {
      ...at,
      barrel: barrel.id,
      tasks: ['top_up'],
      volume_l: ml / 1000,
      abv_pct: 0,
      ...(mark === 'higher' ? { is_filling_up: true } : { reading_u_ml: vessel }),
    });
  };
  return (
    <SheetForm
      title={`Top up: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Top-up')}
    >
      <PressGroup
        label="How far?"
        value={mark}
        onChange={(value) => setMark(value ?? 'same')}
        options={[
          ...(judged.observed.is_full ? [{ value: 'same' as const, label: 'Back to the mark' }] : []),
          { value: 'higher', label: 'Up to the bung' },
          { value: 'stood', label: 'Nothing to add' },
        ]}
      />
      {mark === 'stood' ? (
        <p class="note">It still stood at its mark. That counts, too.</p>
      ) : (
        <>
          <Field
            label="Poured in"
            inputMode="decimal"
            unit="mL"
            value={amount}
            onInput={setAmount}
            error={wrong}
            allowed={wrong ? `1 to ${most_ml} mL` : undefined}
            hint={
              mark === 'higher'
                ? 'Not a leak: the water stands higher than before.'
                : 'Every drop is the leak’s measure.'
            }
          />
          {mark === 'same' && (
            <PressGroup
              label="Measured with"
              value={vessel}
              onChange={(value) => setVessel(value ?? 5)}
              options={VESSELS}
            />
          )}
        </>
      )}
    </SheetForm>
  );
}

/** New water, and what the old smelt of. */
export function ChangeSheet({ barrel, onClose, onKept }: CuringSheetProps) {
  const when = useWhenAt(barrel);
  const [amount, setAmount] = useState(String(Number(barrel.capacity_l.toFixed(2))));
  const [wrong, setWrong] = useState<string>();
  const most_l = 1.1 * barrel.capacity_l;
  const save = async () => {
    const volume_l = typedNumber(amount);
    const isWrong = volume_l === null || volume_l <= 0 || volume_l > most_l;
    setWrong(isWrong ? `It holds ${litres(barrel.capacity_l)}.` : undefined);
    const at = when.said();
    if (isWrong || at === null) return null;
    return keep('tendings', { ...at, barrel: barrel.id, tasks: ['water_change'], volume_l });
  };
  return (
    <SheetForm
      title={`Water changed: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Water changed')}
    >
      <p class="note">
        Empty it through the bung, rinse once, fill it again to the bung. Without chlorine: it taints the
        wood.
      </p>
      <Field
        label="New water"
        inputMode="decimal"
        unit="L"
        value={amount}
        onInput={setAmount}
        error={wrong}
        allowed={wrong ? `more than 0, up to ${litres(most_l)}` : undefined}
      />
    </SheetForm>
  );
}

const HOURS = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];
const ANOTHER = 'another';

/** A joint wiped, or looked at again. */
export function JointSheet({ barrel, judged, onClose, onKept }: CuringSheetProps) {
  const when = useWhenAt(barrel);
  const known = judged.observed.joints;
  const [which, setWhich] = useState(known.length > 0 ? '0' : ANOTHER);
  const [part, setPart] = useState<Joint['part']>('stave');
  const [clock, setClock] = useState('6');
  const [state, setState] = useState<Joint['state'] | undefined>(known.length > 0 ? undefined : 'wiped');
  const [wrong, setWrong] = useState('');
  const chosen = which === ANOTHER ? null : known[Number(which)];
  const save = async () => {
    setWrong(state ? '' : 'Say what you saw.');
    const done = when.said();
    if (!state || done === null) return null;
    const at = chosen
      ? { part: chosen.part, ...(chosen.clock ? { clock: chosen.clock } : {}) }
      : { part, ...(part === 'bung' || part === 'spigot' ? {} : { clock: Number(clock) }) };
    return keep('tendings', {
      ...done,
      barrel: barrel.id,
      tasks: ['leak_check'],
      joints: [{ ...at, state }],
      ...(state === 'beads' ? { is_well: false } : {}),
    });
  };
  return (
    <SheetForm
      title={`Wipe a joint: ${barrel.name}`}
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Joint')}
    >
      <LessonFor name="joint" drawing={<JointDrawing />} />
      {known.length > 0 && (
        <Choice
          label="Which joint"
          value={which}
          onChange={setWhich}
          options={[
            ...known.map((joint, number) => ({ value: String(number), label: jointWords(joint) })),
            { value: ANOTHER, label: 'Another one' },
          ]}
        />
      )}
      {!chosen && (
        <>
          <PressGroup
            label="What kind of joint?"
            value={part}
            onChange={(value) => setPart(value ?? 'stave')}
            options={JOINT_PARTS}
          />
          {part !== 'bung' && part !== 'spigot' && (
            <Choice
              label="Where, as on a clock’s face"
              value={clock}
              onChange={setClock}
              options={HOURS.map((hour) => ({ value: String(hour), label: `${hour} o’clock` }))}
              hint="Seen from the spigot’s end, the bung at 12."
            />
          )}
        </>
      )}
      <PressGroup
        label="What did you see?"
        value={state}
        onChange={setState}
        options={JOINT_STATES.filter((one) => chosen || one.value !== 'dry')}
      />
      {wrong && <p class="red">{wrong}</p>}
    </SheetForm>
  );
}
