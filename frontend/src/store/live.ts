/** Live queries: a signal that reads the database again whenever one of its stores was written, in any tab. */

import { effect, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import { type ClubDatabase, database } from './db.ts';
import { OWN_STORES, READ_STORES, type StoreName } from './records.ts';

const writes = new Map<StoreName, Signal<number>>(
  [...READ_STORES, ...OWN_STORES].map((name) => [name, signal(0)]),
);

interface Notice {
  database: string;
  stores: StoreName[];
}

const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('staveward-store');
// Node keeps a process alive for an open channel; a browser has no such handle.
(channel as { unref?: () => void } | null)?.unref?.();

function bump(stores: readonly StoreName[]): void {
  for (const name of stores) {
    const count = writes.get(name);
    if (count) count.value = count.peek() + 1;
  }
}

/** Tells every live query, here and in the other tabs, that these stores were written. */
export function stored(db: ClubDatabase, stores: readonly StoreName[]): void {
  bump(stores);
  channel?.postMessage({ database: db.name, stores: [...stores] } satisfies Notice);
}

type Heard = (stores: readonly StoreName[]) => void;
const listeners = new Set<Heard>();

/** Calls back when another tab wrote to this club's database. */
export function onStoredElsewhere(heard: Heard): () => void {
  listeners.add(heard);
  return () => listeners.delete(heard);
}

channel?.addEventListener('message', (event: MessageEvent<Notice>) => {
  if (event.data.database !== database.peek()?.name) return;
  bump(event.data.stores);
  for (const heard of listeners) heard(event.data.stores);
});

/**
 * Makes a signal of a query. It reads only while somebody watches it, one reading at a time, and a reading that was
 * overtaken by a write is made again.
 */
export function live<T>(
  stores: readonly StoreName[],
  nothing: T,
  read: (db: ClubDatabase) => Promise<T>,
): ReadonlySignal<T> {
  let stop: (() => void) | null = null;
  const value: Signal<T> = signal(nothing, {
    watched() {
      stop = effect(() => {
        const db = database.value;
        for (const name of stores) writes.get(name)?.value;
        void refresh(db);
      });
    },
    unwatched() {
      stop?.();
      stop = null;
    },
  });
  let isReading = false;
  let isOvertaken = false;

  async function refresh(db: ClubDatabase | null): Promise<void> {
    if (!db) {
      value.value = nothing;
      return;
    }
    if (isReading) {
      isOvertaken = true;
      return;
    }
    isReading = true;
    try {
      const found = await read(db);
      if (database.peek() === db) value.value = found;
    } catch {
      // The database was closed under the query; the next one that opens is read afresh.
    } finally {
      isReading = false;
    }
    if (isOvertaken) {
      isOvertaken = false;
      void refresh(database.peek());
    }
  }

  return value;
}
