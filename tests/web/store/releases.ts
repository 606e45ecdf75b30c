/** How the database of each release looked, written out by hand and never changed: migrations start from these. */

import type { IDBPDatabase, IDBPTransaction } from 'idb';

type Upgrade = IDBPTransaction<unknown, string[], 'versionchange'>;

export interface Release {
  version: number;
  build(db: IDBPDatabase<unknown>, upgrade: Upgrade): void;
}

export const RELEASES: readonly Release[] = [
  {
    version: 1,
    build(db) {
      db.createObjectStore('club', { keyPath: 'id' });
      db.createObjectStore('places', { keyPath: 'id' });
      db.createObjectStore('people', { keyPath: 'id' });
      db.createObjectStore('barrels', { keyPath: 'id' });
      db.createObjectStore('reservations', { keyPath: 'id' });
      const log = db.createObjectStore('log', { keyPath: 'id' });
      log.createIndex('by_barrel', 'barrel');
      log.createIndex('by_round', 'round');
      db.createObjectStore('meta');
      db.createObjectStore('answers', { keyPath: 'key' });
      db.createObjectStore('outbox', { keyPath: 'id' }).createIndex('by_order', 'order', { unique: true });
      db.createObjectStore('drafts', { keyPath: 'key' });
    },
  },
  {
    version: 2,
    build(db, upgrade) {
      RELEASES[0]?.build(db, upgrade);
      db.createObjectStore('recipes', { keyPath: 'id' });
    },
  },
  {
    version: 3,
    build(db, upgrade) {
      RELEASES[1]?.build(db, upgrade);
      db.createObjectStore('photos', { keyPath: 'id' }).createIndex('by_act', 'act');
      db.createObjectStore('photo_queue', { keyPath: 'id' }).createIndex('by_act', 'act');
    },
  },
  {
    version: 4,
    build(db, upgrade) {
      RELEASES[2]?.build(db, upgrade);
      db.createObjectStore('notices', { keyPath: 'id' });
    },
  },
  {
    version: 5,
    build(db, upgrade) {
      RELEASES[3]?.build(db, upgrade);
      upgrade.objectStore('log').createIndex('by_at', 'at_ms');
    },
  },
  {
    version: 6,
    build(db, upgrade) {
      RELEASES[4]?.build(db, upgrade);
      db.createObjectStore('vessels', { keyPath: 'id' });
      db.createObjectStore('bottles', { keyPath: 'id' });
    },
  },
  {
    version: 7,
    build(db, upgrade) {
      RELEASES[5]?.build(db, upgrade);
      db.createObjectStore('flights', { keyPath: 'id' });
    },
  },
];
