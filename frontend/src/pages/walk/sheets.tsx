import { useState } from 'preact/hooks';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { places, type ShownBarrel } from '~/outbox/overlay.ts';
import { dayIn, nearDay } from '~/science/dates.ts';
import { ClimateAlarm } from '../parts/climate-alarm.tsx';
import { moment } from '../parts/clock.ts';
import { didWords, type Kept, keep, keptWords } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { useWhen } from '../parts/when.tsx';
import { capital, counted, listed } from '../words/numbers.ts';
import { today } from '../words/time.ts';
import { typedNumber } from '../words/typed.ts';
import { isWalked, thereAt, type WalkPlace, walkedBody } from '../words/walk.ts';
import { wallTime } from '../words/when.ts';

const DAY_MS = 86_400_000;

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
  const when = useWhen(null, wallTime(now.now_ms - DAY_MS, now.timezone));
  const walked = room?.rows.filter(isWalked) ?? [];
  const { there, later } = thereAt(walked, when.at_ms);
  const changed = there.filter((row) => row.press.label === 'Water changed').length;
  const save = async (): Promise<Kept | null> => {
    const at = when.said();
    if (at === null) return null;
    let kept: Kept | null = null;
    for (const row of there) {
      kept = await keep('tendings', { ...walkedBody(row), ...at });
      if (!kept.ok) return kept;
    }
    return kept;
  };
  return (
    <SheetForm
      title="Done on another day"
      label="Done then"
      when={when}
      onClose={onClose}
      onSave={save}
      onKept={() => {
        onSaid(
          `${room?.place.name ?? 'The room'}: done ${nearDay(dayIn(now.timezone, when.at_ms), today(now))}. ${keptWords()}`,
        );
        onClose();
      }}
    >
      <p>
        {capital(counted(there.length, 'barrel', 'barrels'))} in {room?.place.name}: rolled, looked at, spigot
        wiped, all well.
      </p>
      {changed > 0 && (
        <p>
          {capital(
            listed(there.filter((row) => row.press.label === 'Water changed').map((row) => row.barrel.name)),
          )}
          : water changed too, to the half mark.
        </p>
      )}
      {later.length > 0 && (
        <p class="note ink">
          Left out: {listed(later.map((row) => row.barrel.name))}. What is in{' '}
          {later.length === 1 ? 'it' : 'them'} began after that.
        </p>
      )}
    </SheetForm>
  );
}
