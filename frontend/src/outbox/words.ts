/** Each entry says its state in words. */

import { clockIn } from '../science/dates.ts';
import { isSentBack, isUnsent, type OutboxEntry } from './entry.ts';

/** One sentence on where an entry stands. */
export function stateWords(entry: OutboxEntry, now_ms: number, timezone: string): string {
  if (entry.mended_by) return 'Mended; the new entry goes in its place.';
  switch (entry.state) {
    case 'sending':
      return 'Going now.';
    case 'done':
      return entry.answer?.placement === 'set_aside' ? 'Kept. The keeper must place it.' : 'Sent.';
    case 'refused':
      return `Sent back: ${entry.problem?.detail ?? 'the server gave no reason.'}`;
    case 'conflicted':
      return 'Somebody else changed this meanwhile. Choose which one stands.';
    case 'queued':
      return waitingWords(entry, now_ms, timezone);
  }
}

function waitingWords(entry: OutboxEntry, now_ms: number, timezone: string): string {
  const wait_ms = entry.next_try_at_ms - now_ms;
  const again =
    wait_ms > 60_000
      ? ` It will try again at ${clockIn(timezone, entry.next_try_at_ms)}.`
      : ' It will try again soon.';
  switch (entry.trouble) {
    case 'signed_out':
      return 'On this phone. It goes when you have signed in again.';
    case 'no_signal':
      return 'On this phone. It goes when there is signal.';
    case 'busy':
      return `On this phone. The server is busy.${again}`;
    case 'server':
      return `On this phone. The server had a fault.${again}`;
    case null:
      return 'On this phone. It goes in its turn.';
  }
}

/** "3 not yet sent", or '' when all has arrived. */
export function unsentWords(entries: readonly OutboxEntry[]): string {
  const unsent = entries.filter(isUnsent).length;
  return unsent ? `${unsent} not yet sent` : '';
}

/** "1 sent back", or '' when nothing was. */
export function sentBackWords(entries: readonly OutboxEntry[]): string {
  const back = entries.filter(isSentBack).length;
  return back ? `${back} sent back` : '';
}
