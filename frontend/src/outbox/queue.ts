/**
 * The queue on disk. Each function is one transaction that looks at the entry as it is now before it moves it, so
 * that two tabs, or a tab and its own earlier self, cannot undo each other's step.
 */

import type { ReadonlySignal } from '@preact/signals';
import type { Problem } from '../api/errors.ts';
import type { Uuid } from '../api/types.ts';
import type { ClubDatabase } from '../store/db.ts';
import { live, stored } from '../store/live.ts';
import { storeError, storeWorked } from '../store/storage.ts';
import { isSentBack, isUnsent, newId, type OutboxEntry } from './entry.ts';
import { ANSWERED_STORES, keepAnswered } from './read-back.ts';

/** Sent entries are shown for so long under what is not yet sent. Unsent ones have no age. */
export const DONE_SHOWN_MS = 7 * 24 * 3_600_000;

/** Everything this phone wrote, oldest first. */
export const outboxEntries: ReadonlySignal<OutboxEntry[]> = live<OutboxEntry[]>(['outbox'], [], (db) =>
  queueAll(db),
);

export async function queueAll(db: ClubDatabase): Promise<OutboxEntry[]> {
  return db.getAllFromIndex('outbox', 'by_order');
}

/** How many entries and photos would be lost if this phone were wiped now. */
export async function queueUnsentCount(db: ClubDatabase): Promise<number> {
  return (await queueUnsent(db)).length + (await db.count('photo_queue'));
}

export async function queueUnsent(db: ClubDatabase): Promise<OutboxEntry[]> {
  return (await queueAll(db)).filter(isUnsent);
}

/** What ends a wait early: signal is back, or somebody asked. */
export type Hurry = 'signal' | 'person';

type Unplaced = Omit<OutboxEntry, 'order'>;

/** Keeps a new entry at the end of the queue; it is safe on the phone when this returns. */
export async function queueAdd(db: ClubDatabase, entry: Unplaced): Promise<OutboxEntry> {
  try {
    const write = db.transaction('outbox', 'readwrite', { durability: 'strict' });
    const known = await write.store.get(entry.id);
    const placed = known ?? { ...entry, order: await endOfQueue(write.store.index('by_order')) };
    if (!known) await write.store.add(placed);
    await write.done;
    storeWorked();
    stored(db, ['outbox']);
    return placed;
  } catch (error) {
    throw storeError(error);
  }
}

interface OrderIndex {
  openKeyCursor(query: null, direction: 'prev'): Promise<{ key: number } | null>;
}

async function endOfQueue(index: OrderIndex): Promise<number> {
  const last = await index.openKeyCursor(null, 'prev');
  return (last?.key ?? 0) + 1;
}

type Step = (entry: OutboxEntry) => OutboxEntry | null;

/** Moves one entry if it is still where the step expects it. */
async function move(db: ClubDatabase, id: Uuid, step: Step): Promise<OutboxEntry | null> {
  const write = db.transaction('outbox', 'readwrite');
  const entry = await write.store.get(id);
  const moved = entry ? step(entry) : null;
  if (moved) await write.store.put(moved);
  await write.done;
  if (moved) stored(db, ['outbox']);
  return moved;
}

export function queueSending(db: ClubDatabase, id: Uuid): Promise<OutboxEntry | null> {
  return move(db, id, (entry) =>
    entry.state === 'queued' ? { ...entry, state: 'sending', tries: entry.tries + 1 } : null,
  );
}

/** Puts an entry back in its place until `next_try_at_ms`. */
export function queueWait(
  db: ClubDatabase,
  id: Uuid,
  wait: Pick<OutboxEntry, 'trouble' | 'next_try_at_ms'>,
): Promise<OutboxEntry | null> {
  return move(db, id, (entry) => (entry.state === 'sending' ? { ...entry, ...wait, state: 'queued' } : null));
}

export function queueRefused(db: ClubDatabase, id: Uuid, problem: Problem): Promise<OutboxEntry | null> {
  return move(db, id, (entry) =>
    entry.state === 'sending' ? { ...entry, state: 'refused', trouble: null, problem } : null,
  );
}

export function queueConflicted(
  db: ClubDatabase,
  id: Uuid,
  problem: Problem,
  theirs: Record<string, unknown>,
): Promise<OutboxEntry | null> {
  return move(db, id, (entry) =>
    entry.state === 'sending' ? { ...entry, state: 'conflicted', trouble: null, problem, theirs } : null,
  );
}

/** The server named this id: the entry is done, and its row stands in the log from the same moment on. */
export async function queueDone(
  db: ClubDatabase,
  id: Uuid,
  answer: Record<string, unknown>,
  now_ms: number,
): Promise<void> {
  const write = db.transaction(ANSWERED_STORES, 'readwrite');
  const outbox = write.objectStore('outbox');
  const entry = await outbox.get(id);
  if (entry && entry.state !== 'done') {
    await outbox.put({ ...entry, state: 'done', trouble: null, problem: null, answer, done_at_ms: now_ms });
    if (entry.mends) await outbox.delete(entry.mends);
    await keepAnswered(write, entry, answer);
  }
  await write.done;
  stored(db, ['outbox', 'log', 'reservations']);
}

/** A tab that died while sending leaves its entry behind as "sending"; sending it again is harmless. */
export async function queueRevive(db: ClubDatabase): Promise<number> {
  const write = db.transaction('outbox', 'readwrite');
  let revived = 0;
  for (const entry of await write.store.getAll()) {
    if (entry.state !== 'sending') continue;
    await write.store.put({ ...entry, state: 'queued' });
    revived += 1;
  }
  await write.done;
  if (revived) stored(db, ['outbox']);
  return revived;
}

/**
 * Lets waiting entries go at once: those that waited for signal, or (a person said "Try now") all that were tried.
 * What is held for an undo stays held.
 */
export async function queueKick(db: ClubDatabase, now_ms: number, by: Hurry): Promise<void> {
  const write = db.transaction('outbox', 'readwrite');
  let kicked = 0;
  for (const entry of await write.store.getAll()) {
    const waits = entry.state === 'queued' && entry.tries > 0 && entry.next_try_at_ms > now_ms;
    if (!waits || (by === 'signal' && entry.trouble !== 'no_signal')) continue;
    await write.store.put({ ...entry, next_try_at_ms: now_ms });
    kicked += 1;
  }
  await write.done;
  if (kicked) stored(db, ['outbox']);
}

/** Undoes an entry that was never sent. False: it has left, only a correction helps now. */
export async function queueTakeBack(db: ClubDatabase, id: Uuid): Promise<boolean> {
  return remove(db, id, (entry) => entry.state === 'queued' && entry.tries === 0);
}

/** Sends a refused entry once more as it is: the rule that refused it may have changed. */
export function queueTryAgain(db: ClubDatabase, id: Uuid, now_ms: number): Promise<OutboxEntry | null> {
  return move(db, id, (entry) =>
    entry.state === 'refused' && !entry.mended_by
      ? { ...entry, state: 'queued', next_try_at_ms: now_ms, problem: null }
      : null,
  );
}

/** Removes what was sent back, on its author's word. */
export async function queueDiscard(db: ClubDatabase, id: Uuid): Promise<boolean> {
  return remove(db, id, (entry) => entry.state === 'refused' || entry.state === 'conflicted');
}

/** Removes an entry that is only here, and the photos that were to follow it. */
async function remove(db: ClubDatabase, id: Uuid, may: (entry: OutboxEntry) => boolean): Promise<boolean> {
  const write = db.transaction(['outbox', 'photo_queue'], 'readwrite');
  const outbox = write.objectStore('outbox');
  const photos = write.objectStore('photo_queue');
  const entry = await outbox.get(id);
  const isRemoved = entry !== undefined && may(entry);
  if (isRemoved) {
    await outbox.delete(id);
    for (const photo of await photos.index('by_act').getAllKeys(id)) await photos.delete(photo);
  }
  await write.done;
  if (isRemoved) stored(db, ['outbox', 'photo_queue']);
  return isRemoved;
}

/**
 * Puts a mended entry in the queue for one that was sent back, which stays until the new one has arrived. Entries
 * that named the old id were refused for it, or wait unsent: they name the new one from here on, and go after it.
 */
export async function queueMend(db: ClubDatabase, old: Uuid, mended: Unplaced): Promise<OutboxEntry | null> {
  try {
    const write = db.transaction('outbox', 'readwrite', { durability: 'strict' });
    const entry = await write.store.get(old);
    let placed: OutboxEntry | null = null;
    if (entry && isSentBack(entry)) {
      let order = await endOfQueue(write.store.index('by_order'));
      placed = { ...mended, mends: old, order };
      const others = (await write.store.index('by_order').getAll()).filter((other) => other.id !== old);
      await write.store.put({ ...entry, mended_by: placed.id });
      await write.store.add(placed);
      for (const change of followers(others, old, placed.id)) {
        order += 1;
        if (change.replaces) await write.store.put(change.replaces);
        await write.store.put({ ...change.entry, order });
      }
    }
    await write.done;
    stored(db, ['outbox']);
    return placed;
  } catch (error) {
    throw storeError(error);
  }
}

interface Follower {
  entry: OutboxEntry;
  /** The refused entry whose place this one takes. */
  replaces: OutboxEntry | null;
}

/** The entries that rest on a mended one, as they go on; `others` in their order. */
function followers(others: readonly OutboxEntry[], old: Uuid, id: Uuid): Follower[] {
  const renames = new Map([[old, id]]);
  const found: Follower[] = [];
  for (const other of others) {
    const names = [...renames.keys()].filter((key) => other.text.includes(key));
    // What was sent without an answer may be stored as it is: its body stands.
    const isUntouched = other.state === 'queued' && other.tries === 0;
    if (!names.length || other.mended_by || !(isUntouched || other.state === 'refused')) continue;
    const text = names.reduce((sofar, key) => sofar.replaceAll(key, renames.get(key) ?? key), other.text);
    const renamed = { ...other, text, body: JSON.parse(text) as Record<string, unknown> };
    if (isUntouched) {
      // It keeps its id, and must not stand before what it names.
      renames.set(other.id, other.id);
      found.push({ entry: renamed, replaces: null });
    } else {
      const again = asNew(renamed);
      renames.set(other.id, again.id);
      found.push({ entry: again, replaces: { ...other, mended_by: again.id } });
    }
  }
  return found;
}

/** A refused body goes again under a new id: the old one stands for another body. */
function asNew(entry: OutboxEntry): OutboxEntry {
  const id = newId();
  const isEdit = entry.base_version !== null;
  return {
    ...entry,
    id,
    target: isEdit ? entry.target : id,
    path: isEdit ? entry.path : entry.path.replace(entry.id, id),
    state: 'queued',
    tries: 0,
    next_try_at_ms: 0,
    problem: null,
    mends: entry.id,
  };
}

/** Clears away what arrived long ago and was read back. */
export async function queueSweep(db: ClubDatabase, now_ms: number): Promise<void> {
  const write = db.transaction('outbox', 'readwrite');
  for (const entry of await write.store.getAll()) {
    const isOld = entry.done_at_ms !== null && entry.done_at_ms < now_ms - DONE_SHOWN_MS;
    if (entry.state === 'done' && entry.is_read_back && isOld) await write.store.delete(entry.id);
  }
  await write.done;
}

/** Leaves only what would be lost: for sign-out. Returns how many entries and photos stay. */
export async function queueKeepOnlyUnsent(db: ClubDatabase): Promise<number> {
  const write = db.transaction(['outbox', 'drafts'], 'readwrite');
  const outbox = write.objectStore('outbox');
  let kept = 0;
  for (const entry of await outbox.getAll()) {
    if (isUnsent(entry)) kept += 1;
    else await outbox.delete(entry.id);
  }
  await write.objectStore('drafts').clear();
  await write.done;
  stored(db, ['outbox', 'drafts']);
  return kept + (await db.count('photo_queue'));
}
