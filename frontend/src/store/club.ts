/** The club as this phone last read it. Screens read it through the outbox's overlay, which adds what is unsent. */

import type { ReadonlySignal } from '@preact/signals';
import type {
  Barrel,
  Bottle,
  Club,
  Flight,
  LogEntry,
  Notice,
  Person,
  Place,
  Recipe,
  Reservation,
  Uuid,
  Vessel,
} from '../api/types.ts';
import { live } from './live.ts';

const byName = (a: { name: string }, b: { name: string }): number => a.name.localeCompare(b.name);

export const readClub: ReadonlySignal<Club | null> = live<Club | null>(['club'], null, async (db) => {
  const rows = await db.getAll('club');
  return rows[0]?.row ?? null;
});

export const readPlaces: ReadonlySignal<Place[]> = live<Place[]>(['places'], [], async (db) => {
  const rows = (await db.getAll('places')).map((kept) => kept.row);
  return rows.sort((a, b) => a.walking_order - b.walking_order || byName(a, b));
});

export const readPeople: ReadonlySignal<Person[]> = live<Person[]>(['people'], [], async (db) =>
  (await db.getAll('people')).map((kept) => kept.row).sort(byName),
);

export const readBarrels: ReadonlySignal<Barrel[]> = live<Barrel[]>(['barrels'], [], async (db) =>
  (await db.getAll('barrels')).map((kept) => kept.row).sort(byName),
);

export const readReservations: ReadonlySignal<Reservation[]> = live<Reservation[]>(
  ['reservations'],
  [],
  async (db) => {
    const rows = (await db.getAll('reservations')).map((kept) => kept.row);
    return rows.sort((a, b) => a.starts_on.localeCompare(b.starts_on) || a.id.localeCompare(b.id));
  },
);

export const readRecipes: ReadonlySignal<Recipe[]> = live<Recipe[]>(['recipes'], [], async (db) =>
  (await db.getAll('recipes')).map((kept) => kept.row).sort(byName),
);
/** The bottles, as the ledger counts them: newest bottling first, then by number. */
export const readBottles: ReadonlySignal<Bottle[]> = live<Bottle[]>(['bottles'], [], async (db) => {
  const rows = (await db.getAll('bottles')).map((kept) => kept.row);
  return rows.sort((a, b) => b.bottled_at.localeCompare(a.bottled_at) || a.number - b.number);
});

/** The vessels, newest first. */
export const readVessels: ReadonlySignal<Vessel[]> = live<Vessel[]>(['vessels'], [], async (db) => {
  const rows = (await db.getAll('vessels')).map((kept) => kept.row);
  return rows.sort((a, b) => b.made_at.localeCompare(a.made_at) || b.id.localeCompare(a.id));
});

/** The blind flights, newest first. */
export const readFlights: ReadonlySignal<Flight[]> = live<Flight[]>(['flights'], [], async (db) => {
  const rows = (await db.getAll('flights')).map((kept) => kept.row);
  return rows.sort((a, b) => b.poured_at.localeCompare(a.poured_at) || b.id.localeCompare(a.id));
});

/** Word of trouble to whoever reads this phone, newest first. */
export const readNotices: ReadonlySignal<Notice[]> = live<Notice[]>(['notices'], [], async (db) => {
  const rows = (await db.getAll('notices')).map((kept) => kept.row);
  return rows.sort((a, b) => Date.parse(b.at) - Date.parse(a.at) || a.id.localeCompare(b.id));
});

/** Entries reach back so far: an evening, told late, over midnight. */
const LATELY_MS = 2 * 86_400_000;

/** What happened in the club in the last two days, whichever barrel it was at. */
export const readLately: ReadonlySignal<LogEntry[]> = live<LogEntry[]>(['log'], [], async (db) => {
  const since = IDBKeyRange.lowerBound(Date.now() - LATELY_MS);
  return (await db.getAllFromIndex('log', 'by_at', since)).map((kept) => kept.row);
});

const logs = new Map<Uuid, ReadonlySignal<LogEntry[] | null>>();

/** The log of one barrel as read, newest first; null until it was read. */
export function readLog(barrel: Uuid): ReadonlySignal<LogEntry[] | null> {
  let log = logs.get(barrel);
  if (!log) {
    log = live<LogEntry[] | null>(['log'], null, async (db) => {
      const kept = await db.getAllFromIndex('log', 'by_barrel', barrel);
      kept.sort((a, b) => b.at_ms - a.at_ms || b.id.localeCompare(a.id));
      return kept.map((one) => one.row);
    });
    logs.set(barrel, log);
  }
  return log;
}

const recent = new Map<number, ReadonlySignal<LogEntry[]>>();

/** The entries of the whole cellar since an instant, newest first. Ask for few instants: each is kept. */
export function readSince(from_ms: number): ReadonlySignal<LogEntry[]> {
  let found = recent.get(from_ms);
  if (!found) {
    found = live<LogEntry[]>(['log'], [], async (db) => {
      const kept = await db.getAllFromIndex('log', 'by_at', IDBKeyRange.lowerBound(from_ms));
      return kept.reverse().map((one) => one.row);
    });
    recent.set(from_ms, found);
  }
  return found;
}
