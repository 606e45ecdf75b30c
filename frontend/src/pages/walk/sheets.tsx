import { useState } from 'preact/hooks';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { TendingBody } from '~/outbox/bodies.ts';
import { places, type ShownBarrel } from '~/outbox/overlay.ts';
import { addDays, daysBetween, nearDay } from '~/science/dates.ts';
import { ClimateAlarm } from '../parts/climate-alarm.tsx';
import { moment } from '../parts/clock.ts';
import { didWords, keep, keptWords } from '../parts/keep.ts';
import { capital, counted } from '../words/numbers.ts';
import { today } from '../words/time.ts';
import { typedNumber } from '../words/typed.ts';
import { turned, type WalkPlace } from '../words/walk.ts';

interface SaidProps {
  onClose: () => void;
  onSaid: (words: string) => void;
}

/** Temperature and humidity of a room, as its instrument shows them. */
export function ClimateSheet({ place, onClose, onSaid }: SaidProps & { place: string }) {
  const [room, setRoom] = useState(place || (places.value[0]?.id ?? ''));
  const [temp, setTemp] = useState('');
  const [damp, setDamp] = useState('');
  const [wrong, setWrong] = useState<{ temp?: string; damp?: string; kept?: string }>({});
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const temp_c = temp.trim() === '' ? null : typedNumber(temp);
    const rh = damp.trim() === '' ? null : typedNumber(damp);
    const found = {
      ...(temp.trim() !== '' && (temp_c === null || temp_c < -20 || temp_c > 60)
        ? { temp: 'No cellar is that.' }
        : {}),
      ...(damp.trim() !== '' && (rh === null || rh < 0 || rh > 100) ? { damp: 'That is no humidity.' } : {}),
      ...(temp.trim() === '' && damp.trim() === '' ? { temp: 'Type at least one of the two.' } : {}),
    };
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    const kept = await keep('readings', {
      kind: 'climate',
      place: room,
      ...(temp_c === null ? {} : { temp_c }),
      ...(rh === null ? {} : { rh: rh / 100 }),
    });
    if (!kept.ok) {
      setWrong({ kept: kept.words });
      return;
    }
    onSaid(didWords('Climate'));
    onClose();
  };
  return (
    <Sheet open onClose={onClose} title="Climate" closeLabel="Leave it">
      <form class="stack" onSubmit={save} noValidate>
        <Choice
          label="Place"
          value={room}
          onChange={setRoom}
          options={places.value.map((one) => ({ value: one.id, label: one.name }))}
        />
        <Field
          label="Temperature"
          inputMode="decimal"
          unit="°C"
          value={temp}
          onInput={setTemp}
          error={wrong.temp}
          allowed={wrong.temp ? '-20 to 60 °C' : undefined}
        />
        <Field
          label="Humidity"
          inputMode="decimal"
          unit="%"
          value={damp}
          onInput={setDamp}
          error={wrong.damp}
          allowed={wrong.damp ? '0 to 100 %' : undefined}
        />
        <ClimateAlarm temp={temp} rh={damp} />
        {wrong.kept && <Notice tone="red">{wrong.kept}</Notice>}
        <Press type="submit" tone="go" full>
          Save
        </Press>
      </form>
    </Sheet>
  );
}

/** A room walked on an earlier day and entered now: "Done Sunday". */
export function DoneEarlierSheet({
  room,
  onClose,
  onSaid,
}: SaidProps & { room: WalkPlace<ShownBarrel> | undefined }) {
  const now = moment();
  const day = today(now);
  const days = [1, 2, 3, 4, 5, 6].map((back) => addDays(day, -back));
  const [chosen, setChosen] = useState(days[0]!);
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  const rows = room?.rows.filter((row) => row.press.label === 'All well') ?? [];
  const save = async (): Promise<void> => {
    if (isBusy) return;
    setBusy(true);
    const back_ms = daysBetween(chosen, day) * 86_400_000;
    const happened_at = new Date(now.now_ms - back_ms).toISOString();
    for (const row of rows) {
      const kept = await keep('tendings', {
        barrel: row.barrel.id,
        tasks: row.press.tasks as TendingBody['tasks'],
        ...turned(row.barrel, row.press.tasks),
        happened_at,
        time_typed: true,
      });
      if (!kept.ok) {
        setProblem(kept.words);
        setBusy(false);
        return;
      }
    }
    onSaid(`${room?.place.name ?? 'The room'}: done ${nearDay(chosen, day)}. ${keptWords()}`);
    onClose();
  };
  return (
    <Sheet open onClose={onClose} title="Done on another day" closeLabel="Leave it">
      <div class="stack">
        <p>
          {capital(counted(rows.length, 'barrel', 'barrels'))} in {room?.place.name}: rolled, looked at,
          spigot wiped, all well.
        </p>
        <Choice
          label="When"
          value={chosen}
          onChange={setChosen}
          options={days.map((one) => ({ value: one, label: capital(nearDay(one, day)) }))}
        />
        {problem && <Notice tone="red">{problem}</Notice>}
        <Press tone="go" full busy={isBusy ? 'Saving' : undefined} onPress={() => void save()}>
          Done {nearDay(chosen, day)}
        </Press>
      </div>
    </Sheet>
  );
}
