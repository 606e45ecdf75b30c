/** Reads what changed in the club since the last time, page by page, each page stored with its cursor. */

import { unwrap } from 'idb';
import { api } from '../api/client.ts';
import { NO_SIGNAL, type Problem, problemFrom } from '../api/errors.ts';
import type { ChangedCollection, ChangesPage, LogEntry, Photo, Uuid } from '../api/types.ts';
import { markReadBack } from '../outbox/read-back.ts';
import type { ClubDatabase } from '../store/db.ts';
import { stored } from '../store/live.ts';
import type { StoreName } from '../store/records.ts';
import { keptLogEntry, keptPhoto } from '../store/rows.ts';

export const PAGE_ROWS = 500;
/** Rows handed to the database at a stretch: a few milliseconds on a slow phone, so that a touch is answered between. */
const SLICE_ROWS = 24;

export type PageAnswer = { ok: true; page: ChangesPage } | { ok: false; problem: Problem };
export type AskPage = (cursor: string) => Promise<PageAnswer>;

export type PullEnd = { ok: true; pages: number } | { ok: false; problem: Problem };

const ROW_STORES = [
  'club',
  'places',
  'people',
  'barrels',
  'reservations',
  'recipes',
  'log',
  'photos',
  'notices',
  'vessels',
  'bottles',
  'flights',
] as const;
const PAGE_STORES = [...ROW_STORES, 'meta', 'outbox'] as const;

function isPage(value: unknown): value is ChangesPage {
  const page = value as Partial<ChangesPage> | null;
  return typeof page?.cursor === 'string' && typeof page.more === 'boolean' && Array.isArray(page.rows);
}

/** Asks the server for one page of the feed. */
export function askPageOf(club: Uuid): AskPage {
  return async (cursor) => {
    const query = { limit: PAGE_ROWS, ...(cursor ? { after: cursor } : {}) };
    try {
      const { data, error, response } = await api.GET('/api/v1/clubs/{club}/changes', {
        params: { path: { club }, query },
      });
      if (!response.ok) return { ok: false, problem: problemFrom(response.status, error) };
      // A page of the café's network says 200 too.
      return isPage(data) ? { ok: true, page: data } : { ok: false, problem: NO_SIGNAL };
    } catch {
      return { ok: false, problem: NO_SIGNAL };
    }
  };
}

function isKnown(collection: string): collection is ChangedCollection {
  return (ROW_STORES as readonly string[]).includes(collection);
}

function keptRow(collection: ChangedCollection, id: Uuid, row: unknown, round: number): unknown {
  if (collection === 'log') return keptLogEntry(row as LogEntry, round);
  return collection === 'photos' ? keptPhoto(row as Photo, round) : { id, round, row };
}

/**
 * Stores one page and its cursor in one transaction: a crash between pages loses and repeats nothing. What of this
 * phone's own came back is noted in `own`, and let go of with the last page: its barrel's row may be on another than
 * its line.
 */
async function storePage(db: ClubDatabase, page: ChangesPage, own: Set<Uuid>): Promise<void> {
  const write = db.transaction([...PAGE_STORES], 'readwrite');
  const meta = write.objectStore('meta');
  const round = ((await meta.get('round')) as number | undefined) ?? 0;
  const touched = new Set<StoreName>();
  for (let start = 0; start < page.rows.length; start += SLICE_ROWS) {
    for (const { collection, id, row } of page.rows.slice(start, start + SLICE_ROWS)) {
      // A newer server may tell of things that this version does not show.
      if (!isKnown(collection)) continue;
      touched.add(collection);
      // Nobody listens to a single request: one that fails ends the whole transaction, which is awaited below.
      const store = unwrap(write.objectStore(collection)) as IDBObjectStore;
      if (row === null) store.delete(id);
      else store.put(keptRow(collection, id, row, round));
    }
    // The answer comes after those of the slice; until then the transaction stays open and the page is free.
    await meta.get('round');
  }
  const queued = new Set(await write.objectStore('outbox').getAllKeys());
  for (const { id } of page.rows) if (queued.has(id)) own.add(id);
  if (!page.more && (await markReadBack(write, own))) touched.add('outbox');
  await meta.put(page.cursor, 'cursor');
  await write.done;
  if (touched.size) stored(db, [...touched]);
}

/** Begins the read store anew without emptying it: the old rows stand until the new reading is whole. */
async function beginRound(db: ClubDatabase): Promise<void> {
  const write = db.transaction('meta', 'readwrite');
  const round = ((await write.store.get('round')) as number | undefined) ?? 0;
  await write.store.put(round + 1, 'round');
  await write.store.put(true, 'is_rebuilding');
  await write.store.delete('cursor');
  await write.done;
}

/** Ends a reading: drops what a rebuilt feed no longer holds, and lets go of entries that arrived before it began. */
async function endRound(db: ClubDatabase, began_ms: number, ended_ms: number): Promise<void> {
  const write = db.transaction([...PAGE_STORES], 'readwrite');
  const meta = write.objectStore('meta');
  const touched = new Set<StoreName>(['meta']);
  if (await meta.get('is_rebuilding')) {
    const round = (await meta.get('round')) as number;
    for (const name of ROW_STORES) {
      touched.add(name);
      for await (const cursor of write.objectStore(name)) {
        if ((cursor.value as { round: number }).round < round) await cursor.delete();
      }
    }
    await meta.delete('is_rebuilding');
  }
  const done = (await write.objectStore('outbox').getAll()).filter(
    (entry) => entry.done_at_ms !== null && entry.done_at_ms < began_ms,
  );
  const marked = await markReadBack(write, new Set(done.map((entry) => entry.id)));
  if (marked) touched.add('outbox');
  await meta.put(ended_ms, 'as_of_ms');
  await write.done;
  stored(db, [...touched]);
}

/** Reads to the end of the feed. `resync` (410) starts over once; the outbox is not touched by it. */
export async function pullAll(
  db: ClubDatabase,
  ask: AskPage,
  needs: { now?: () => number; signal?: AbortSignal } = {},
): Promise<PullEnd> {
  const now = needs.now ?? Date.now;
  const began_ms = now();
  const own = new Set<Uuid>();
  let hasStartedOver = false;
  for (let pages = 0; ; ) {
    const cursor = ((await db.get('meta', 'cursor')) as string | undefined) ?? '';
    const answer = await ask(cursor);
    if (needs.signal?.aborted) return { ok: false, problem: NO_SIGNAL };
    if (!answer.ok) {
      if (answer.problem.status !== 410 || hasStartedOver) return answer;
      hasStartedOver = true;
      await beginRound(db);
      continue;
    }
    await storePage(db, answer.page, own);
    pages += 1;
    // A feed that says "more" without moving on would hold this phone for ever.
    if (!answer.page.more || answer.page.cursor === cursor) {
      await endRound(db, began_ms, now());
      return { ok: true, pages };
    }
  }
}
