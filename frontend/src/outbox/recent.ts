/** What was done in the cellar lately, by whomever: the other keeper's marks, and this phone's own before they are sent. */

import type { Uuid } from '../api/types.ts';
import { readSince } from '../store/club.ts';
import { counts } from './entry.ts';
import { isPlaced } from './line.ts';
import { asLogLine, type LogLine } from './overlay.ts';
import { outboxEntries } from './queue.ts';

/** Entries of one collection since an instant, newest first. Read inside a component or a computed. */
export function recentLines(collection: string, from_ms: number): LogLine[] {
  const read = readSince(from_ms).value.filter((line) => line.collection === collection && isPlaced(line));
  const known = new Set(read.map((line) => line.id));
  const here = outboxEntries.value
    .filter((entry) => entry.collection === collection && !known.has(entry.id) && counts(entry))
    .map((entry) => asLogLine(entry, null))
    .filter((line) => Date.parse(line.happened_at) >= from_ms);
  const sent = read.map((line): LogLine => ({ ...line, here: 'sent' }));
  return [...here, ...sent].sort((a, b) => Date.parse(b.happened_at) - Date.parse(a.happened_at));
}

/** The newest tending of each barrel since an instant. */
export function lastTended(from_ms: number): Map<Uuid, LogLine> {
  const found = new Map<Uuid, LogLine>();
  for (const line of recentLines('tendings', from_ms)) {
    if (line.barrel && !found.has(line.barrel)) found.set(line.barrel, line);
  }
  return found;
}

/** When the climate of each place was last read since an instant. */
export function lastClimate(from_ms: number): Map<Uuid, number> {
  const found = new Map<Uuid, number>();
  for (const line of recentLines('readings', from_ms)) {
    const place = line.body?.place;
    if (line.body?.kind === 'climate' && typeof place === 'string' && !found.has(place)) {
      found.set(place, Date.parse(line.happened_at));
    }
  }
  return found;
}
