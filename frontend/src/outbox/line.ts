/** Which lines of a log say what holds: neither corrected nor taken back, and with a place in the barrel's life. */

import type { LogEntry } from '../api/types.ts';
import type { LogLine } from './overlay.ts';

type Judged = Pick<LogEntry, 'is_head' | 'is_void' | 'placement'>;

/** Whether an entry holds, as the server judged it. */
export function isPlaced(line: Judged): boolean {
  return line.is_head && !line.is_void && line.placement === 'placed';
}

/** Whether an entry of this phone waits for its author, and so says nothing yet. */
export function isReturned(line: Pick<LogLine, 'here'>): boolean {
  return line.here === 'sent_back' || line.here === 'conflicted';
}
