/** One entry with all its versions: what stands, what it replaced, and who may still correct it. */

import { isReturned } from '~/outbox/line.ts';
import type { LogLine } from '~/outbox/overlay.ts';

/** What is never a line of its own: it changes another one. */
const BESIDE = new Set(['voids', 'tray-decisions', 'photo-removals']);

/** The earlier versions of each standing entry, newest first, by the standing entry's id. */
export function earlierVersions(log: readonly LogLine[]): Map<string, LogLine[]> {
  const known = new Map(log.map((line) => [line.id, line]));
  const found = new Map<string, LogLine[]>();
  for (const line of log) {
    if (!line.is_head || BESIDE.has(line.collection)) continue;
    const before: LogLine[] = [];
    let one = line.replaces ? known.get(line.replaces) : undefined;
    while (one && !before.includes(one)) {
      before.push(one);
      one = one.replaces ? known.get(one.replaces) : undefined;
    }
    if (before.length > 0) found.set(line.id, before);
  }
  return found;
}

/** The entry that took a line back, if one did: its reason is told beside it. */
export function voidOf(log: readonly LogLine[], id: string): LogLine | undefined {
  return log.find((line) => line.collection === 'voids' && (line.replaces === id || line.body?.act === id));
}

/**
 * What stands as a line of the log: the newest version. An entry that was taken back has its void for a successor, and
 * stays a line, struck.
 */
export function standing(log: readonly LogLine[]): LogLine[] {
  const voided = new Set(
    log
      .filter((line) => line.collection === 'voids' && line.placement === 'placed')
      .map((line) => line.replaces ?? (line.body?.act as string | undefined)),
  );
  return log
    .filter((line) => !BESIDE.has(line.collection) && (line.is_head || voided.has(line.id)))
    .map((line) => (voided.has(line.id) ? { ...line, is_void: true } : line));
}

const DAY_MS = 86_400_000;

export interface Corrector {
  me: string;
  isKeeper: boolean;
  /** Shares the fill or owns the barrel. */
  isInvolved: boolean;
}

/** Whether somebody may correct an entry or take it back; the server has the last word. */
export function mayCorrect(line: LogLine, who: Corrector, now_ms: number): boolean {
  if (line.body === null || line.is_void || !line.is_head) return false;
  if (isReturned(line)) return false;
  if (who.isKeeper) return true;
  if (line.author !== who.me && line.subject !== who.me) return false;
  const arrived_ms = line.received_at === null ? now_ms : Date.parse(line.received_at);
  return who.isInvolved || now_ms - arrived_ms <= DAY_MS;
}

/** The body of a correction: the whole entry with what changed, in the place of the old one. */
export function correction(line: LogLine, changed: Record<string, unknown>): Record<string, unknown> {
  const { entered_at: _then, schema: _schema, replaces: _before, ...body } = line.body ?? {};
  // The hour is that of the deed, not of the correction, and no device clock moves it again.
  return { ...body, happened_at: line.happened_at, time_typed: true, ...changed, replaces: line.id };
}
