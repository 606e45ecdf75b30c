/**
 * How a database of any earlier release becomes today's. A step is never edited once it was released: a phone may
 * come back after a year, and it carries entries that exist nowhere else.
 */

import type { IDBPDatabase, IDBPTransaction } from 'idb';

type Upgrade = IDBPTransaction<unknown, string[], 'versionchange'>;
export type Migration = (database: IDBPDatabase<unknown>, upgrade: Upgrade) => void | Promise<void>;

/** Release 1: the read store, the outbox and the drafts. */
function first(database: IDBPDatabase<unknown>): void {
  for (const name of ['club', 'places', 'people', 'barrels', 'reservations']) {
    database.createObjectStore(name, { keyPath: 'id' });
  }
  const log = database.createObjectStore('log', { keyPath: 'id' });
  log.createIndex('by_barrel', 'barrel');
  log.createIndex('by_round', 'round');
  database.createObjectStore('meta');
  database.createObjectStore('answers', { keyPath: 'key' });
  const outbox = database.createObjectStore('outbox', { keyPath: 'id' });
  outbox.createIndex('by_order', 'order', { unique: true });
  database.createObjectStore('drafts', { keyPath: 'key' });
}

/** The recipe book. */
function recipes(database: IDBPDatabase<unknown>): void {
  database.createObjectStore('recipes', { keyPath: 'id' });
}

/** Photos of entries, and those of this phone that are not sent. */
function photos(database: IDBPDatabase<unknown>, upgrade: Upgrade): void {
  database.createObjectStore('photos', { keyPath: 'id' }).createIndex('by_act', 'act');
  database.createObjectStore('photo_queue', { keyPath: 'id' }).createIndex('by_act', 'act');
  // The version before let the feed's newer rows pass by unread: they are read once more from the start.
  upgrade.objectStore('meta').delete('cursor');
}

/** Word of trouble to the phone's own person. */
function notices(database: IDBPDatabase<unknown>, upgrade: Upgrade): void {
  database.createObjectStore('notices', { keyPath: 'id' });
  // As with the photos: the version before let them pass by.
  upgrade.objectStore('meta').delete('cursor');
}

/** What happened lately, whichever barrel it was at. */
function lately(_database: IDBPDatabase<unknown>, upgrade: Upgrade): void {
  upgrade.objectStore('log').createIndex('by_at', 'at_ms');
}

/** What lies between barrel and bottle, and the bottles. */
function glass(database: IDBPDatabase<unknown>, upgrade: Upgrade): void {
  for (const name of ['vessels', 'bottles']) database.createObjectStore(name, { keyPath: 'id' });
  upgrade.objectStore('meta').delete('cursor');
}

/** Blind flights. */
function flights(database: IDBPDatabase<unknown>, upgrade: Upgrade): void {
  database.createObjectStore('flights', { keyPath: 'id' });
  upgrade.objectStore('meta').delete('cursor');
}

/** Step n makes version n of version n - 1. */
export const MIGRATIONS: readonly Migration[] = [first, recipes, photos, notices, lately, glass, flights];

export async function migrate(
  database: IDBPDatabase<unknown>,
  upgrade: Upgrade,
  from: number,
  steps: readonly Migration[] = MIGRATIONS,
): Promise<void> {
  try {
    for (const step of steps.slice(from)) await step(database, upgrade);
  } catch {
    // The browser would otherwise keep what was done so far and call it whole. Opening fails, and says so there.
    upgrade.done.catch(() => undefined);
    upgrade.abort();
  }
}
