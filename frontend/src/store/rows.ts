/** How rows of the feed are kept. */

import type { LogEntry } from '../api/types.ts';
import type { KeptLogEntry } from './records.ts';

export function keptLogEntry(row: LogEntry, round: number): KeptLogEntry {
  return { id: row.id, round, row, barrel: row.barrel ?? '', at_ms: Date.parse(row.happened_at) };
}
