import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';

interface TakeBackFormProps {
  note: string;
  /** Called with the reason; resolves to words where it could not be kept. */
  onSure: (reason: string) => Promise<string | undefined> | undefined;
}

/** An entry is taken back with a reason, and stays readable. */
export function TakeBackForm({ note, onSure }: TakeBackFormProps) {
  const [reason, setReason] = useState('');
  const [wrong, setWrong] = useState('');
  const sure = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (!reason.trim()) {
      setWrong('Say why it is taken back.');
      return;
    }
    const refused = await onSure(reason.trim());
    if (refused) setWrong(refused);
  };
  return (
    <form class="stack" onSubmit={sure} noValidate>
      <p class="note">{note}</p>
      <Field
        label="Why"
        value={reason}
        onInput={(text) => {
          setReason(text);
          setWrong('');
        }}
        maxLength={300}
        error={wrong}
      />
      <Press type="submit" tone="red" full>
        Take it back
      </Press>
    </form>
  );
}
