/** One unsent write: how it is made, what may go next, how long it waits. Pure: no database, no clock, no network. */

import { v7 as uuid7 } from 'uuid';
import type { Uuid } from '../api/types.ts';
import type { OutboxEntry } from '../store/records.ts';

export type { EntryState, EntryTrouble, OutboxEntry } from '../store/records.ts';

export const BACK_OFF_FIRST_MS = 2_000;
export const BACK_OFF_MOST_MS = 300_000;
/** A cellar's signal comes and goes without telling anybody, and a try costs nothing when nobody answers. */
export const NO_SIGNAL_MOST_MS = 20_000;

/** Nothing ever waits longer: a later time was set by a clock that has been put right since. */
export const LONGEST_WAIT_MS = 3_600_000;

/** Whether a time to try again has come. */
export function isDue(at_ms: number, now_ms: number): boolean {
  return at_ms <= now_ms || at_ms > now_ms + LONGEST_WAIT_MS;
}

export function newId(): Uuid {
  return uuid7();
}

interface Making {
  club: Uuid;
  author: Uuid;
  collection: string;
  body: Record<string, unknown>;
  now_ms: number;
  id?: Uuid;
  hold_ms?: number;
  mends?: Uuid | null;
}

const BLANK = {
  state: 'queued',
  tries: 0,
  trouble: null,
  problem: null,
  answer: null,
  done_at_ms: null,
  is_read_back: false,
  theirs: null,
  mended_by: null,
} as const;

function barrelOf(collection: string, target: Uuid, body: Record<string, unknown>): Uuid | null {
  if (collection === 'barrels') return target;
  return typeof body.barrel === 'string' ? body.barrel : null;
}

/** Makes a new row's entry. The queue gives it its place. */
export function makeEntry(making: Making): Omit<OutboxEntry, 'order'> {
  const id = making.id ?? newId();
  return {
    ...BLANK,
    id,
    method: 'PUT',
    collection: making.collection,
    path: `/api/v1/clubs/${making.club}/${making.collection}/${id}`,
    target: id,
    barrel: barrelOf(making.collection, id, making.body),
    author: making.author,
    body: making.body,
    text: JSON.stringify(making.body),
    base_version: null,
    made_at_ms: making.now_ms,
    next_try_at_ms: making.now_ms + (making.hold_ms ?? 0),
    mends: making.mends ?? null,
  };
}

/** Makes an edit's entry: it names the version it was made against. `collection` '' edits the club itself. */
export function makeEdit(
  making: Making & { target: Uuid; base_version: number },
): Omit<OutboxEntry, 'order'> {
  const base = `/api/v1/clubs/${making.club}`;
  return {
    ...makeEntry(making),
    method: 'PATCH',
    path: making.collection === 'club' ? base : `${base}/${making.collection}/${making.target}`,
    target: making.target,
    barrel: barrelOf(making.collection, making.target, making.body),
    base_version: making.base_version,
  };
}

/** Whether an entry still has something to do on its own. */
export function isOnItsWay(entry: OutboxEntry): boolean {
  return entry.state === 'queued' || entry.state === 'sending';
}

/** An entry counts on this phone until the feed has brought it back; one that was sent back counts for nothing. */
export function counts(entry: OutboxEntry): boolean {
  return isOnItsWay(entry) || (entry.state === 'done' && !entry.is_read_back);
}

/** Whether an entry would be lost if this phone were wiped now. */
export function isUnsent(entry: OutboxEntry): boolean {
  return entry.state !== 'done' && entry.mended_by === null;
}

/** Whether somebody must look at it. */
export function isSentBack(entry: OutboxEntry): boolean {
  return (entry.state === 'refused' || entry.state === 'conflicted') && entry.mended_by === null;
}

/** Whether `later` would arrive before what it rests on: the same barrel, the same row, or a row it names. */
function restsOn(later: OutboxEntry, earlier: OutboxEntry): boolean {
  return (
    (later.barrel !== null && later.barrel === earlier.barrel) ||
    later.target === earlier.target ||
    later.text.includes(earlier.id)
  );
}

/** What has nothing before it that it rests on, in order; what was sent back holds up nobody. */
function unblocked(entries: readonly OutboxEntry[]): OutboxEntry[] {
  const ahead: OutboxEntry[] = [];
  const free: OutboxEntry[] = [];
  for (const entry of [...entries].sort((a, b) => a.order - b.order)) {
    if (!isOnItsWay(entry)) continue;
    if (entry.state === 'queued' && !ahead.some((earlier) => restsOn(entry, earlier))) free.push(entry);
    ahead.push(entry);
  }
  return free;
}

/** What may be sent now, in order. */
export function sendable(entries: readonly OutboxEntry[], now_ms: number): OutboxEntry[] {
  return unblocked(entries).filter((entry) => isDue(entry.next_try_at_ms, now_ms));
}

/** When the next entry could go; null when none is waiting. */
export function nextTryAt(entries: readonly OutboxEntry[], now_ms: number): number | null {
  const times = unblocked(entries).map(({ next_try_at_ms: at_ms }) =>
    isDue(at_ms, now_ms) ? now_ms : at_ms,
  );
  return times.length ? Math.min(...times) : null;
}

/** How long to wait after so many tries: doubling up to `most_ms`, the upper half of it by chance. */
export function backOffMs(tries: number, random: () => number, most_ms = BACK_OFF_MOST_MS): number {
  const whole = Math.min(most_ms, BACK_OFF_FIRST_MS * 2 ** Math.max(0, tries - 1));
  return Math.round(whole * (0.5 + random() / 2));
}
