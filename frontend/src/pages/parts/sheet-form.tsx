import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { Kept } from './keep.ts';
import { type When, WhenField } from './when.tsx';

export interface SheetFormProps {
  title: string;
  label?: string;
  tone?: 'go' | 'red';
  onClose: () => void;
  /** Keeps what was typed; null where a field is still wrong. */
  onSave: () => Promise<Kept | null>;
  onKept: () => void;
  /** Where it may have been done earlier. */
  when?: When;
  children: ComponentChildren;
}

/** A sheet with one form: it saves once, and says why if it cannot. */
export function SheetForm(props: SheetFormProps) {
  const { title, label = 'Save', tone = 'go', onClose, onSave, onKept, when, children } = props;
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (isBusy) return;
    setBusy(true);
    const kept = await onSave();
    setBusy(false);
    if (kept === null) return;
    if (kept.ok) onKept();
    else setProblem(kept.words);
  };
  return (
    <Sheet open onClose={onClose} title={title} closeLabel="Leave it">
      <form class="stack" onSubmit={(event) => void save(event)} noValidate>
        {children}
        {when && <WhenField when={when} />}
        {problem && <Notice tone="red">{problem}</Notice>}
        <Press type="submit" tone={tone} full busy={isBusy ? 'Saving' : undefined}>
          {label}
        </Press>
      </form>
    </Sheet>
  );
}
