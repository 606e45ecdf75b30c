import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { keep } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';

/** A flight that went wrong before its names were told: a wrong glass, or nobody came. */
export function CallOffSheet({ flight, onClose }: { flight: ShownFlight; onClose: () => void }) {
  const [reason, setReason] = useState('');
  const [isPoured, setPoured] = useState(true);
  const [wrong, setWrong] = useState('');
  return (
    <SheetForm
      title="Call it off?"
      label="Call it off"
      tone="red"
      onClose={onClose}
      onSave={async () => {
        if (!reason.trim()) {
          setWrong('Say why it is called off.');
          return null;
        }
        return keep('flight-cancellations', {
          flight: flight.id,
          reason: reason.trim(),
          is_poured: isPoured,
        });
      }}
      onKept={onClose}
    >
      <p class="note">
        No name is told and no score counts; what was scored stays with its taster. It cannot be taken back:
        pour a new flight instead.
      </p>
      <Field
        label="Why"
        value={reason}
        maxLength={500}
        onInput={(text) => {
          setReason(text);
          setWrong('');
        }}
        error={wrong}
      />
      <label class="taste__tick">
        <input
          type="checkbox"
          checked={isPoured}
          onChange={(event) => setPoured(event.currentTarget.checked)}
        />
        The glasses were poured: take them off the stock
      </label>
    </SheetForm>
  );
}
