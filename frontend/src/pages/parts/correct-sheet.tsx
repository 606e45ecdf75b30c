import { useState } from 'preact/hooks';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { ScoreField, scoreText } from '~/components/rod/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { TastingBody } from '~/outbox/bodies.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import { correctedTaste } from '../words/taste.ts';
import { keep } from './keep.ts';

export interface CorrectSheetProps {
  line: LogLine;
  onClose: () => void;
}

/** Another score in the place of one's own; the old one stays readable in the history. */
export function CorrectSheet({ line, onClose }: CorrectSheetProps) {
  const before = Number(line.body?.liking);
  const [liking, setLiking] = useState<number | undefined>(before);
  const [problem, setProblem] = useState('');
  const save = async (event?: Event): Promise<void> => {
    event?.preventDefault();
    const body = liking === undefined ? null : correctedTaste(line, liking);
    if (!body) {
      setProblem('A score is a number from 0 to 10.');
      return;
    }
    if (liking === before) {
      onClose();
      return;
    }
    const kept = await keep('tastings', body as TastingBody);
    if (kept.ok) onClose();
    else setProblem(kept.words);
  };
  return (
    <Sheet open onClose={onClose} title="Correct your score" closeLabel="Leave it">
      <form class="stack" onSubmit={save} noValidate>
        <p class="note">You gave {scoreText(before)}. The rest of your taste stays as it is.</p>
        <ScoreField value={liking} onChange={setLiking} label="Your score" />
        {problem && <Notice tone="red">{problem}</Notice>}
        <Press type="submit" tone="go" full>
          Save the new score
        </Press>
      </form>
    </Sheet>
  );
}
