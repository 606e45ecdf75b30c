/** The database of one account in one club: opened, handed round as a signal, closed when a newer app needs it. */

import { signal } from '@preact/signals';
import { deleteDB, type IDBPDatabase, openDB } from 'idb';
import type { Uuid } from '../api/types.ts';
import { MIGRATIONS, type Migration, migrate } from './migrations.ts';
import { type ClubSchema, READ_STORES } from './records.ts';
import { storageTrouble } from './storage.ts';

export type ClubDatabase = IDBPDatabase<ClubSchema>;

/** What the live queries read from: null while nobody is here. */
export const database = signal<ClubDatabase | null>(null);

export function databaseName(user: Uuid, club: Uuid): string {
  return `staveward-${user}-${club}`;
}

export async function openDatabase(
  name: string,
  steps: readonly Migration[] = MIGRATIONS,
): Promise<ClubDatabase> {
  let opened: ClubDatabase | null = null;
  const letGo = (): void => {
    if (database.peek() === opened) database.value = null;
  };
  try {
    opened = await openDB<ClubSchema>(name, steps.length, {
      upgrade: (fresh, from, _to, upgrade) =>
        migrate(fresh as unknown as IDBPDatabase<unknown>, upgrade as never, from, steps),
      // A newer app in another tab wants to migrate: this tab stands aside at once, or that one would hang.
      blocking: (_ours, theirs) => {
        opened?.close();
        // No version means that another tab signed out and removes the database.
        if (theirs !== null) storageTrouble.value = 'newer_version_open';
        letGo();
      },
      terminated: letGo,
    });
    return opened;
  } catch (error) {
    const isNewer = error instanceof DOMException && error.name === 'VersionError';
    storageTrouble.value = isNewer ? 'newer_version_open' : 'unavailable';
    throw error;
  }
}

/** Empties what was read from the server; the outbox and the drafts stay. */
export async function forgetRead(db: ClubDatabase): Promise<void> {
  const write = db.transaction([...READ_STORES], 'readwrite');
  await Promise.all(READ_STORES.map((name) => write.objectStore(name).clear()));
  await write.done;
}

export async function removeDatabase(name: string): Promise<void> {
  await deleteDB(name);
}
