/** How rows of the feed are kept. */

import type { LogEntry, Photo } from '../api/types.ts';
import type { KeptLogEntry, KeptPhoto } from './records.ts';

export function keptLogEntry(row: LogEntry, round: number): KeptLogEntry {
  return { id: row.id, round, row, barrel: row.barrel ?? '', at_ms: Date.parse(row.happened_at) };
}

export function keptPhoto(row: Photo, round: number): KeptPhoto {
  return { id: row.id, round, row, act: row.act };
}
