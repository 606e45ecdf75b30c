import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { mend } from '~/outbox/record.ts';
import { mended, mendFields } from '../words/entry.ts';

export interface MendSheetProps {
  entry: OutboxEntry;
  title: string;
  onClose: () => void;
}

/** The fields of a refused entry that can be wrong, each with what the server allows. */
export function MendSheet({ entry, title, onClose }: MendSheetProps) {
  const fields = mendFields(entry);
  const [typed, setTyped] = useState<Record<string, string>>(() =>
    Object.fromEntries(fields.map((one) => [one.field, one.value])),
  );
  const [problem, setProblem] = useState('');
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const result = mended(entry.body, fields, typed);
    if (!result.ok) {
      setProblem(result.detail);
      return;
    }
    try {
      await mend(entry.id, result.body);
      onClose();
    } catch (error) {
      setProblem(error instanceof Error ? error.message : 'It could not be kept.');
    }
  };
  return (
    <Sheet open onClose={onClose} title="Mend it" closeLabel="Leave it">
      <form class="stack" onSubmit={save} noValidate>
        <p class="b">{title}</p>
        <p class="note ink">{entry.problem?.detail}</p>
        {fields.map((one) => (
          <Field
            key={one.field}
            label={one.label}
            type={one.kind === 'date' ? 'date' : 'text'}
            {...(one.kind === 'number' ? { inputMode: 'decimal' as const } : {})}
            {...(one.unit ? { unit: one.unit } : {})}
            value={typed[one.field] ?? ''}
            onInput={(text) => setTyped({ ...typed, [one.field]: text })}
            {...(one.detail ? { error: one.detail } : {})}
            {...(one.allowed ? { allowed: one.allowed } : {})}
          />
        ))}
        {problem && <Notice tone="red">{problem}</Notice>}
        <Press type="submit" tone="go" full>
          Send it so
        </Press>
      </form>
    </Sheet>
  );
}
