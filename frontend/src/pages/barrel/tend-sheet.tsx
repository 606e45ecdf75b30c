import { useState } from 'preact/hooks';
import type { TendingTask } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { TendingBody } from '~/outbox/bodies.ts';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { RollDrawing } from '../lessons/roll.tsx';
import { TopUpDrawing } from '../lessons/top-up.tsx';
import { WaterChangeDrawing } from '../lessons/water-change.tsx';
import { didWords, type Kept, keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { insideNow } from '../words/barrel.ts';
import { FIRE } from '../words/cautions.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import { nextBungClock } from '../words/walk.ts';

export type TendKind = 'top_up' | 'water_changed' | 'all_well';

const TITLES: Record<TendKind, string> = {
  top_up: 'Top up',
  water_changed: 'Water changed',
  all_well: 'All well',
};

export interface TendSheetProps {
  barrel: ShownBarrel;
  kind: TendKind;
  /** What the same visit settled besides. */
  also?: TendingTask[];
  onClose: () => void;
  onSaid: (words: string) => void;
}

const CLOCKS = [12, 4, 8];

/** What was done at the barrel, with the one figure it needs. */
export function TendSheet({ barrel, kind, also = [], onClose, onSaid }: TendSheetProps) {
  const when = useWhenAt(barrel);
  const isHold = barrel.contents?.kind === 'hold';
  const [amount, setAmount] = useState(kind === 'water_changed' ? newWater(barrel) : '');
  const [strength, setStrength] = useState('');
  const [clock, setClock] = useState(
    String(kind === 'water_changed' ? nextBungClock(barrel) : barrel.bung_clock),
  );
  const [note, setNote] = useState('');
  const [wrong, setWrong] = useState<{ amount?: string; strength?: string; kept?: string }>({});
  const [isBusy, setBusy] = useState(false);
  const [asked, setAsked] = useState('');

  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const volume = typedNumber(amount);
    const abv = typedNumber(strength);
    const problems = problemsOf({
      kind,
      volume,
      amount,
      abv,
      strength,
      capacity_l: barrel.capacity_l,
    });
    setWrong(problems);
    const at = when.said();
    if (problems.amount || problems.strength || at === null || isBusy) return;
    // The same figure twice is no slip of the hand: then it is kept as it is.
    if (kind === 'top_up' && overRoomWords(barrel, volume, when.at_ms) && asked !== amount) {
      setAsked(amount);
      return;
    }
    setBusy(true);
    const kept: Kept = await keep('tendings', {
      ...at,
      ...tendingBody({ barrel, kind, also, volume, abv, clock: Number(clock), note }),
    });
    setBusy(false);
    if (kept.ok) onSaid(didWords(TITLES[kind]));
    else setWrong({ kept: kept.words });
  };

  return (
    <Sheet open onClose={onClose} title={`${TITLES[kind]}: ${barrel.name}`} closeLabel="Leave it">
      <form class="stack" onSubmit={save} noValidate>
        {kind === 'top_up' && <LessonFor name="top-up" drawing={<TopUpDrawing />} />}
        {kind === 'water_changed' && <LessonFor name="water-change" drawing={<WaterChangeDrawing />} />}
        {kind === 'all_well' && <LessonFor name="roll" drawing={<RollDrawing />} />}
        {kind === 'all_well' && (
          <p>Rolled one full turn, looked at hoops, heads and bung, spigot wiped. Nothing was wrong.</p>
        )}
        {kind === 'top_up' && barrel.contents?.kind === 'fill' && <p class="note ink">{FIRE}</p>}
        {kind === 'water_changed' && (
          <p class="note">
            Smell it first. Slime, must or vinegar: do not refill, press Trouble instead. Rinse till clear.
          </p>
        )}
        {kind !== 'all_well' && (
          <Field
            label="Poured in"
            type="text"
            inputMode="decimal"
            value={amount}
            onInput={setAmount}
            unit="L"
            error={wrong.amount}
            allowed={wrong.amount ? `more than 0, up to ${litres(barrel.capacity_l * 1.1)}` : undefined}
            hint={
              kind === 'top_up'
                ? 'As measured: 0.04 is 40 mL.'
                : isHold
                  ? ''
                  : 'To the bung: a curing stands full.'
            }
          />
        )}
        {kind === 'top_up' && barrel.contents?.kind === 'fill' && (
          <Field
            label="Its strength"
            type="text"
            inputMode="decimal"
            value={strength}
            onInput={setStrength}
            unit="% vol"
            error={wrong.strength}
            allowed={wrong.strength ? '0 to 97 % vol' : undefined}
            hint="What is poured in changes the fill and its shares."
          />
        )}
        {kind === 'water_changed' && isHold && barrel.bung_tight && (
          <Choice
            label="The bung now stands"
            value={clock}
            onChange={setClock}
            options={[...new Set([...CLOCKS, barrel.bung_clock])].map((hour) => ({
              value: String(hour),
              label: hour === 12 ? 'up' : `at ${hour} o’clock`,
            }))}
            hint="Turned on by a third each week, so that every stave stays wet."
          />
        )}
        <Field label="A note" value={note} onInput={setNote} maxLength={2000} />
        <WhenField when={when} />
        {wrong.kept && <Notice tone="red">{wrong.kept}</Notice>}
        {asked !== '' && asked === amount && (
          <Notice tone="red">{overRoomWords(barrel, typedNumber(amount), when.at_ms)}</Notice>
        )}
        <Press type="submit" tone="go" full busy={isBusy ? 'Saving' : undefined}>
          {asked !== '' && asked === amount ? 'Save all the same' : 'Save'}
        </Press>
      </form>
    </Sheet>
  );
}

/** As much as goes in: a hold stands half full, a curing to the bung. */
function newWater({ water, contents, capacity_l }: ShownBarrel): string {
  const volume_l = contents?.kind === 'curing' ? capacity_l : water?.half_volume_l;
  return volume_l === undefined ? '' : String(Number(volume_l.toFixed(2)));
}

/** As much as a level reckoned and a jug read may differ by, of what the barrel holds. */
const ROOM_OFF = 0.05;

/** What is said of a top-up that the barrel has no room for; null where it fits, or nobody knows the level. */
export function overRoomWords(barrel: ShownBarrel, volume_l: number | null, at_ms: number): string | null {
  const inside = insideNow(barrel, at_ms);
  if (volume_l === null || !inside || barrel.contents?.kind !== 'fill') return null;
  const room_l = Math.max(0, barrel.capacity_l - inside.volume_l.low);
  if (volume_l <= room_l + ROOM_OFF * barrel.capacity_l) return null;
  return `There is room for about ${litres(room_l)} in it. Read the jug once more, and mend the figure if it was a slip.`;
}

interface Typed {
  kind: TendKind;
  volume: number | null;
  amount: string;
  abv: number | null;
  strength: string;
  capacity_l: number;
}

function problemsOf(typed: Typed): { amount?: string; strength?: string } {
  const { kind, volume, amount, abv, strength, capacity_l } = typed;
  const found: { amount?: string; strength?: string } = {};
  const isNeeded = kind === 'top_up';
  if (amount.trim() === '' ? isNeeded : volume === null || volume <= 0)
    found.amount = 'Type a figure above zero.';
  else if (volume !== null && volume > capacity_l * 1.1) {
    found.amount = `It holds ${litres(capacity_l)}.`;
  }
  if (strength.trim() !== '' && (abv === null || abv < 0 || abv > 97))
    found.strength = 'That is no strength.';
  return found;
}

interface Tended {
  barrel: ShownBarrel;
  kind: TendKind;
  also: TendingTask[];
  volume: number | null;
  abv: number | null;
  clock: number;
  note: string;
}

function tendingBody({ barrel, kind, also, volume, abv, clock, note }: Tended): TendingBody {
  const tasks: TendingTask[] =
    kind === 'top_up'
      ? ['top_up']
      : kind === 'water_changed'
        ? ['water_change', ...also]
        : ['roll', 'leak_check', 'spigot_check'];
  return {
    barrel: barrel.id,
    tasks,
    ...(volume === null ? {} : { volume_l: volume }),
    ...(abv === null ? {} : { abv_pct: abv }),
    ...(kind === 'water_changed' && clock !== barrel.bung_clock ? { bung_clock: clock } : {}),
    ...(note.trim() ? { note: note.trim() } : {}),
  };
}
