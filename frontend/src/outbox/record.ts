/** Every write of a screen: kept on this phone first, then sent when it can be. */

import { effect } from '@preact/signals';
import { session } from '../api/session.ts';
import type { Uuid } from '../api/types.ts';
import { localIso } from '../science/dates.ts';
import { type ClubDatabase, database } from '../store/db.ts';
import { StoreUnavailable } from '../store/storage.ts';
import type { Bodies, Collection } from './bodies.ts';
import { isOnItsWay, makeEdit, makeEntry, newId, type OutboxEntry } from './entry.ts';
import { photoAdd, photoDiscard } from './photos.ts';
import {
  outboxEntries,
  queueAdd,
  queueAll,
  queueDiscard,
  queueMend,
  queueTakeBack,
  queueTryAgain,
} from './queue.ts';

export interface Recorded {
  id: Uuid;
  entry: OutboxEntry;
}

export interface RecordOptions {
  /** Made beforehand where something else must name it. */
  id?: Uuid;
  /** Not sent before so many ms, so that it can be taken back without a correction. */
  hold_ms?: number;
}

interface Here {
  db: ClubDatabase;
  club: Uuid;
  author: Uuid;
}

/** The database, club and person of now, or the plain statement that nothing can be kept. */
function here(): Here {
  const db = database.peek();
  const { person, club } = session.peek();
  if (!db || !person || !club) {
    throw new StoreUnavailable('This browser keeps nothing for this site now; the entry is not kept.');
  }
  return { db, club: club.id, author: person.id };
}

function complete(body: object, now_ms: number): Record<string, unknown> {
  const entered_at = localIso(now_ms);
  const given = Object.fromEntries(Object.entries(body).filter(([, value]) => value !== undefined));
  return { schema: 1, happened_at: entered_at, entered_at, ...given };
}

/** The barrel of an act that names another act instead of a barrel. */
async function barrelOfAct(db: ClubDatabase, body: Record<string, unknown>): Promise<Uuid | null> {
  if (typeof body.barrel === 'string') return body.barrel;
  const named = [body.act, body.reservation].find((value) => typeof value === 'string') as Uuid | undefined;
  if (!named) return null;
  const queued = await db.get('outbox', named);
  if (queued) return queued.barrel;
  const logged = await db.get('log', named);
  if (logged) return logged.barrel || null;
  return (await db.get('reservations', named))?.row.barrel ?? null;
}

/** Keeps a new entry; resolves when it is safe on this phone. */
export async function record<C extends Collection>(
  collection: C,
  body: Bodies[C],
  options: RecordOptions = {},
): Promise<Recorded> {
  const { db, club, author } = here();
  const now_ms = Date.now();
  const whole = complete(body, now_ms);
  const made = makeEntry({ club, author, collection, body: whole, now_ms, ...options });
  const entry = await queueAdd(db, { ...made, barrel: made.barrel ?? (await barrelOfAct(db, whole)) });
  return { id: entry.id, entry };
}

/** Keeps a photo of an entry, to be sent once the entry has arrived; resolves when it is safe on this phone. */
export async function recordPhoto(act: Uuid, barrel: Uuid | null, file: ArrayBuffer): Promise<Uuid> {
  const { db, author } = here();
  const digest = await crypto.subtle.digest('SHA-256', file);
  const id = newId();
  await photoAdd(db, {
    id,
    act,
    barrel,
    author,
    file,
    digest: btoa(String.fromCharCode(...new Uint8Array(digest))),
    made_at_ms: Date.now(),
  });
  return id;
}

/** Removes a photo that has not left this phone. */
export function discardPhoto(id: Uuid): Promise<void> {
  return photoDiscard(here().db, id);
}

/** Keeps an edit of a register row, made against the version the person saw. */
export async function revise(
  collection: 'barrels' | 'places' | 'people' | 'recipes' | 'club',
  target: Uuid,
  version: number,
  changes: Record<string, unknown>,
): Promise<Recorded> {
  const { db, club, author } = here();
  const made = makeEdit({
    club,
    author,
    collection,
    target,
    base_version: version,
    body: changes,
    now_ms: Date.now(),
  });
  const entry = await queueAdd(db, made);
  return { id: entry.id, entry };
}

/** Undoes an entry that has not left yet; false when it has. */
export function takeBack(id: Uuid): Promise<boolean> {
  return queueTakeBack(here().db, id);
}

/** Sends a corrected body in the place of a refused one, under an id of its own. */
export async function mend(id: Uuid, body: object): Promise<Recorded | null> {
  const { db, club, author } = here();
  const old = await db.get('outbox', id);
  if (!old) return null;
  const now_ms = Date.now();
  // What was entered when stays as it was; only the mended fields differ.
  const whole = complete({ ...pick(old.body, ['happened_at', 'entered_at', 'schema']), ...body }, now_ms);
  const made = makeEntry({ club, author, collection: old.collection, body: whole, now_ms });
  const entry = await queueMend(db, id, { ...made, barrel: made.barrel ?? old.barrel });
  return entry && { id: entry.id, entry };
}

function pick(body: Record<string, unknown>, keys: string[]): Record<string, unknown> {
  return Object.fromEntries(keys.filter((key) => key in body).map((key) => [key, body[key]]));
}

/** Sends a refused entry once more, unchanged. */
export async function tryAgain(id: Uuid): Promise<void> {
  await queueTryAgain(here().db, id, Date.now());
}

/** Removes an entry that was sent back. Ask the person first: it exists nowhere else. */
export function discard(id: Uuid): Promise<boolean> {
  return queueDiscard(here().db, id);
}

/** Writes my edit over theirs: a new edit against the version they made. */
export async function keepMine(id: Uuid): Promise<Recorded | null> {
  const { db, club, author } = here();
  const old = await db.get('outbox', id);
  const version = old?.theirs?.version;
  if (old?.state !== 'conflicted' || typeof version !== 'number') return null;
  const made = makeEdit({
    club,
    author,
    collection: old.collection,
    target: old.target,
    base_version: version,
    body: old.body,
    now_ms: Date.now(),
  });
  const entry = await queueMend(db, id, made);
  return entry && { id: entry.id, entry };
}

/** Lets their edit stand. */
export function keepTheirs(id: Uuid): Promise<boolean> {
  return discard(id);
}

/** Waits until an entry is settled one way or another, or for so long; returns it as it then is. */
export async function settled(
  id: Uuid,
  { timeout_ms = 15_000 }: { timeout_ms?: number } = {},
): Promise<OutboxEntry | undefined> {
  const { db } = here();
  return new Promise((resolve) => {
    let isOver = false;
    let stop = (): void => {};
    const finish = (entry: OutboxEntry | undefined): void => {
      if (isOver) return;
      isOver = true;
      clearTimeout(timer);
      // The effect may still be in its first run, where it cannot be stopped.
      queueMicrotask(() => stop());
      resolve(entry);
    };
    const timer = setTimeout(async () => {
      const entries = await queueAll(db).catch(() => []);
      finish(entries.find((entry) => entry.id === id));
    }, timeout_ms);
    stop = effect(() => {
      const entry = outboxEntries.value.find((one) => one.id === id);
      if (entry && !isOnItsWay(entry)) finish(entry);
    });
  });
}
