/** Live queries: a signal that reads the database again whenever one of its stores was written, in any tab. */

import { batch, effect, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import { type ClubDatabase, database } from './db.ts';
import type { StoreName } from './records.ts';

/** A live query that somebody watches. */
interface Watched {
  stores: readonly StoreName[];
  /** Reads, and returns how to show what was found. */
  read(db: ClubDatabase): Promise<() => void>;
  isReading: boolean;
  /** What waits for a reading that has not begun yet. */
  next: Round[];
}

/**
 * The readings that one write made necessary. They are shown together, and one write's after another's: rows shown
 * without the queue they belong to would tear down, for a blink, the room that somebody stands in.
 */
interface Round {
  missing: Set<Watched>;
  shows: (() => void)[];
}

const watched = new Set<Watched>();
const rounds: Round[] = [];

function showWhole(): void {
  while (rounds[0]?.missing.size === 0) {
    const { shows } = rounds.shift()!;
    batch(() => {
      for (const show of shows) show();
    });
  }
}

async function readFor(query: Watched, asking: readonly Round[]): Promise<void> {
  const db = database.peek();
  query.isReading = true;
  // A database that was closed under the query leaves nothing to show; the next one that opens is read afresh.
  const show = db ? await query.read(db).catch(() => null) : null;
  query.isReading = false;
  const next = query.next.splice(0);
  if (next.length > 0) void readFor(query, next);
  for (const round of asking) {
    if (show) round.shows.push(show);
    round.missing.delete(query);
  }
  showWhole();
}

/** Reads these again, one reading of each at a time: a reading that a write overtook does not count for that write. */
function readAgain(queries: readonly Watched[]): void {
  if (queries.length === 0) return;
  const round: Round = { missing: new Set(queries), shows: [] };
  rounds.push(round);
  for (const query of queries) {
    if (query.isReading) query.next.push(round);
    else void readFor(query, [round]);
  }
}

function written(stores: readonly StoreName[]): void {
  readAgain([...watched].filter((query) => query.stores.some((name) => stores.includes(name))));
}

interface Notice {
  database: string;
  stores: StoreName[];
}

const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('staveward-store');
// Node keeps a process alive for an open channel; a browser has no such handle.
(channel as { unref?: () => void } | null)?.unref?.();

/** Tells every live query, here and in the other tabs, that these stores were written. */
export function stored(db: ClubDatabase, stores: readonly StoreName[]): void {
  written(stores);
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
  written(event.data.stores);
  for (const heard of listeners) heard(event.data.stores);
});

/** Makes a signal of a query. It reads only while somebody watches it. */
export function live<T>(
  stores: readonly StoreName[],
  nothing: T,
  read: (db: ClubDatabase) => Promise<T>,
): ReadonlySignal<T> {
  let stop: (() => void) | null = null;
  const query: Watched = {
    stores,
    async read(db) {
      const found = await read(db);
      return () => {
        if (database.peek() === db) value.value = found;
      };
    },
    isReading: false,
    next: [],
  };
  const value: Signal<T> = signal(nothing, {
    watched() {
      watched.add(query);
      stop = effect(() => {
        if (database.value) readAgain([query]);
        else value.value = nothing;
      });
    },
    unwatched() {
      watched.delete(query);
      stop?.();
      stop = null;
    },
  });
  return value;
}
