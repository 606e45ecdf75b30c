import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Note, Verdict } from '~/components/words/index.tsx';
import { logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { isPulled } from '../words/glass.ts';
import { pullNote, pullTitle, settledNote } from '../words/pull.ts';
import type { PullPictureProps } from './pull-picture.tsx';

/** When to pull what is in a barrel: the verdict, the chance that waiting helps, and the picture. */
export function PullPart({ barrel }: { barrel: ShownBarrel }) {
  const pull = barrel.state === 'filled' ? barrel.contents?.pull : null;
  const Picture = usePicture();
  const log = logOf(barrel.id).value ?? [];
  if (!pull || !barrel.contents) return null;
  // Once it is settled, the forecast gives no advice.
  const isSettled = isPulled(log, barrel.contents.stay);
  return (
    <section class="gap5" aria-label="When to pull it">
      <Verdict as="h2">{isSettled ? 'It is to be pulled.' : pullTitle(pull)}</Verdict>
      <Note>{isSettled ? settledNote(pull) : pullNote(pull)}</Note>
      <div class="pull-part__picture gap3">{Picture && <Picture barrel={barrel} pull={pull} />}</div>
      <div>
        <a class="link" href={`/barrels/${barrel.id}/forecast`}>
          More of this forecast
        </a>
      </div>
    </section>
  );
}

/** The drawing comes after the page it stands on: nobody waits for it to log a taste. */
function usePicture(): ComponentType<PullPictureProps> | null {
  const [picture, setPicture] = useState<ComponentType<PullPictureProps> | null>(null);
  useEffect(() => {
    // Not here without signal before it was ever shown: the words say the same.
    import('./pull-picture.tsx').then(
      (found) => setPicture(() => found.default),
      () => undefined,
    );
  }, []);
  return picture;
}
