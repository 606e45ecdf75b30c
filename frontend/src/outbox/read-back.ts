/** How an answer reaches the read store, so that a line never leaves the screen between "sent" and "read back". */

import type { IDBPTransaction } from 'idb';
import type { LogEntry, Reservation, Uuid } from '../api/types.ts';
import type { ClubSchema, OutboxEntry } from '../store/records.ts';
import { keptLogEntry } from '../store/rows.ts';

type Touched = 'outbox' | 'log' | 'reservations' | 'meta';

/** The stores that an answer may write to. */
export const ANSWERED_STORES: Touched[] = ['outbox', 'log', 'reservations', 'meta'];

type Write = IDBPTransaction<ClubSchema, Touched[], 'readwrite'>;

function isLogEntry(value: unknown): value is LogEntry {
  return typeof value === 'object' && value !== null && 'placement' in value && 'happened_at' in value;
}

function isReservation(value: unknown): value is Reservation {
  return typeof value === 'object' && value !== null && 'starts_on' in value && 'state' in value;
}

/** Keeps the row that an answer carries, unless the feed brought it (or a newer one) already. */
export async function keepAnswered(
  write: Write,
  entry: OutboxEntry,
  answer: Record<string, unknown>,
): Promise<void> {
  const round = ((await write.objectStore('meta').get('round')) as number | undefined) ?? 0;
  if (isLogEntry(answer.row) && answer.row.id === entry.id) {
    const log = write.objectStore('log');
    if (!(await log.get(answer.row.id))) await log.put(keptLogEntry(answer.row, round));
  }
  const reservation = answer.reservation ?? (entry.collection === 'reservations' ? answer : null);
  if (isReservation(reservation)) {
    const store = write.objectStore('reservations');
    const known = await store.get(reservation.id);
    if (!known || known.row.version <= reservation.version) {
      await store.put({ id: reservation.id, round, row: reservation });
    }
  }
}

/** Marks done entries that the feed has brought back: the overlay lets go of them. */
export async function markReadBack(
  write: { objectStore(name: 'outbox'): ReadBackStore },
  ids: ReadonlySet<Uuid>,
): Promise<number> {
  const outbox = write.objectStore('outbox');
  let marked = 0;
  for (const id of ids) {
    const entry = await outbox.get(id);
    if (entry?.state !== 'done' || entry.is_read_back) continue;
    await outbox.put({ ...entry, is_read_back: true });
    marked += 1;
  }
  return marked;
}

interface ReadBackStore {
  get(id: Uuid): Promise<OutboxEntry | undefined>;
  put(entry: OutboxEntry): Promise<unknown>;
}
