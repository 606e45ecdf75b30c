import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { MixDraft, stopsOf } from '../words/mix-plan.ts';

interface WhyNotSheetProps {
  stops: ReturnType<typeof stopsOf>;
  draft: MixDraft;
  onChange: (part: Partial<MixDraft>) => void;
  onClose: () => void;
}

/** Why it may not be poured; a strength may be poured all the same, with a reason that stays in the log. */
export function WhyNotSheet({ stops, draft, onChange, onClose }: WhyNotSheetProps) {
  const [reason, setReason] = useState(draft.reason);
  const [wrong, setWrong] = useState('');
  return (
    <Sheet open onClose={onClose} title="Why not" closeLabel="Leave it">
      <div class="stack">
        {stops.all.map((stop) => (
          <p key={stop.code}>{stop.reason}</p>
        ))}
        {stops.isFinal ? (
          <p class="note">Take it out under Amounts, and add it when serving.</p>
        ) : (
          <>
            <Field
              label="Your reason, if you pour it all the same"
              multiline
              maxLength={200}
              value={reason}
              onInput={setReason}
              error={wrong || undefined}
              hint="It stays in the barrel’s log with your name."
            />
            <Press
              tone="red"
              full
              onPress={() => {
                if (reason.trim() === '') {
                  setWrong('Without a reason it is not poured.');
                  return;
                }
                onChange({ reason: reason.trim() });
                onClose();
              }}
            >
              Pour it all the same
            </Press>
          </>
        )}
      </div>
    </Sheet>
  );
}
