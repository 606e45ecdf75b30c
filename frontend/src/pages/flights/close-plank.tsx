import { useState } from 'preact/hooks';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { keep } from '../parts/keep.ts';
import { myId, nameOf } from '../parts/me.ts';
import { progressWords } from '../words/flights.ts';

/** Tells the names before everybody has finished; asked for twice, since it cannot be taken back. */
export function ClosePlank({ flight }: { flight: ShownFlight }) {
  const [isAsking, setAsking] = useState(false);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  if (flight.is_closing) {
    return <p class="note ink gap4">The names come out as soon as this phone has signal.</p>;
  }
  const close = async (): Promise<void> => {
    if (isBusy) return;
    setBusy(true);
    const kept = await keep('flight-closings', { flight: flight.id });
    setBusy(false);
    setAsking(false);
    setProblem(kept.ok ? '' : kept.words);
  };
  return (
    <div class="gap5">
      <Press onPress={() => setAsking(true)}>Tell the names now</Press>
      {problem && <Notice tone="red">{problem}</Notice>}
      {isAsking && (
        <Sheet open onClose={() => setAsking(false)} title="Tell the names now?" closeLabel="Wait">
          <div class="stack">
            <p>
              {progressWords(flight, myId(), nameOf)} What is not scored by then is not scored blind. It
              cannot be taken back.
            </p>
            <Press tone="go" full busy={isBusy ? 'Telling' : undefined} onPress={() => void close()}>
              Tell the names
            </Press>
          </div>
        </Sheet>
      )}
    </div>
  );
}
