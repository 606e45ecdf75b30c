import { useState } from 'preact/hooks';
import { Press } from '~/components/press/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { keep } from '../parts/keep.ts';
import { myId, nameOf } from '../parts/me.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { progressWords } from '../words/flights.ts';
import { CallOffSheet } from './call-off.tsx';

/** The two ends before everybody has finished: the names are told, or it is called off. */
export function ClosePlank({ flight }: { flight: ShownFlight }) {
  const [sheet, setSheet] = useState<'close' | 'off' | null>(null);
  if (flight.is_closing) {
    return <p class="note ink gap4">The names come out as soon as this phone has signal.</p>;
  }
  return (
    <div class="gap5 stack">
      <Press onPress={() => setSheet('close')}>Tell the names now</Press>
      <Press tone="red" onPress={() => setSheet('off')}>
        Call it off
      </Press>
      {sheet === 'close' && <CloseSheet flight={flight} onClose={() => setSheet(null)} />}
      {sheet === 'off' && <CallOffSheet flight={flight} onClose={() => setSheet(null)} />}
    </div>
  );
}

/** Asked for twice, since it cannot be taken back; and who was poured nothing costs the barrels nothing. */
function CloseSheet({ flight, onClose }: { flight: ShownFlight; onClose: () => void }) {
  const [away, setAway] = useState<string[]>([]);
  const silent = flight.tasters.filter((line) => line.scored === 0);
  return (
    <SheetForm
      title="Tell the names now?"
      label="Tell the names"
      onClose={onClose}
      onSave={() =>
        keep('flight-closings', { flight: flight.id, ...(away.length > 0 ? { not_poured_for: away } : {}) })
      }
      onKept={onClose}
    >
      <p>
        {progressWords(flight, myId(), nameOf)} What is not scored by then is not scored blind. It cannot be
        taken back.
      </p>
      {silent.length > 0 && (
        <fieldset class="taste__ticks">
          <legend class="note">Glasses that were poured come off the stock, scored or not.</legend>
          {silent.map(({ person }) => (
            <label key={person} class="taste__tick">
              <input
                type="checkbox"
                checked={!away.includes(person)}
                onChange={(event) => {
                  const others = away.filter((one) => one !== person);
                  setAway(event.currentTarget.checked ? others : [...others, person]);
                }}
              />
              Poured for {nameOf(person)}
            </label>
          ))}
        </fieldset>
      )}
    </SheetForm>
  );
}
