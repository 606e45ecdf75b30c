/** What the screens read: the club as last read, with this phone's own entries laid over it. */

import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import type { Barrel, CareLine, LogEntry, Person, Place, Reservation, Uuid } from '../api/types.ts';
import {
  readBarrels,
  readClub,
  readLately,
  readLog,
  readNotices,
  readPeople,
  readPlaces,
  readReservations,
} from '../store/club.ts';
import { counts, type OutboxEntry } from './entry.ts';
import { outboxEntries } from './queue.ts';

/** Where an entry of a log stands. */
export type Here = 'sent' | 'on_this_phone' | 'sending' | 'sent_back' | 'conflicted';

export interface LogLine extends Omit<LogEntry, 'received_at'> {
  received_at: string | null;
  here: Here;
}

export interface ShownCareLine extends CareLine {
  /** When this phone says it was done, before the server knows. */
  here_at: string | null;
}

export interface ShownBarrel extends Omit<Barrel, 'care'> {
  care: ShownCareLine[];
}

/** Collections that are no lines of a barrel's log. */
const REGISTERS = new Set([
  'barrels',
  'places',
  'people',
  'reservations',
  'reservation-decisions',
  'recipes',
]);
/** Nor is what speaks of a flight or of a number: a flight's names are no log's until they are told. */
const OF_FLIGHTS = /^flight|^blind/;

const mine: ReadonlySignal<OutboxEntry[]> = computed(() => outboxEntries.value.filter(counts));

function text(value: unknown): string | null {
  return typeof value === 'string' ? value : null;
}

/** A quantity of an unsent body in mL; text with a unit of its own waits for the server to read it. */
function sampleMl(body: Record<string, unknown>): number {
  return typeof body.sample_ml === 'number' ? body.sample_ml : 0;
}

function withTastes(barrel: Barrel, entries: readonly OutboxEntry[]): Barrel['contents'] {
  const { contents } = barrel;
  if (!contents) return contents;
  const tastes = entries.filter(
    (entry) => entry.collection === 'tastings' && entry.body.fill === contents.stay && !entry.body.replaces,
  );
  const more_ml = tastes.reduce((sum, entry) => sum + sampleMl(entry.body), 0);
  return more_ml ? { ...contents, sample_used_ml: contents.sample_used_ml + more_ml } : contents;
}

/** What unsent entries make of a barrel's life: only a phone that has some needs it, so it comes after the first load. */
const life = signal<typeof import('./life.ts') | null>(null);

/** Fetches it once; exported for tests. */
export async function lifeFetched(): Promise<void> {
  life.value ??= await import('./life.ts');
}
effect(() => {
  // One that cannot be fetched leaves what the server last said, and is tried again with the next entry.
  if (mine.value.length > 0) void lifeFetched().catch(() => undefined);
});

/** Lays this phone's entries over a barrel; exported for its tests. */
export function overlaidBarrel(barrel: Barrel, entries: readonly OutboxEntry[]): ShownBarrel {
  const own = entries.filter((entry) => entry.barrel === barrel.id && counts(entry));
  const lived = own.length > 0 ? (life.value?.withLife(barrel, own) ?? barrel) : barrel;
  const care = life.value?.withCare(lived, own) ?? lived.care.map((line) => ({ ...line, here_at: null }));
  return { ...lived, contents: withTastes(lived, own), care };
}

/** Barrels that were registered on this phone and have not come back yet. */
function newBarrels(): Barrel[] {
  const known = new Set(readBarrels.value.map((barrel) => barrel.id));
  return mine.value
    .filter((entry) => entry.collection === 'barrels' && entry.base_version === null && !known.has(entry.id))
    .map((entry) => life.value?.newBarrel(entry) ?? null)
    .filter((barrel) => barrel !== null);
}

export const club = readClub;
export const places: ReadonlySignal<Place[]> = readPlaces;
export const people: ReadonlySignal<Person[]> = readPeople;
export const notices = readNotices;
export const reservations: ReadonlySignal<Reservation[]> = readReservations;
export const barrels: ReadonlySignal<ShownBarrel[]> = computed(() =>
  [...readBarrels.value, ...newBarrels()].map((barrel) => overlaidBarrel(barrel, mine.value)),
);

function index<T extends { id: Uuid }>(rows: ReadonlySignal<readonly T[]>): ReadonlySignal<Map<Uuid, T>> {
  return computed(() => new Map(rows.value.map((row) => [row.id, row])));
}

const barrelIndex = index(barrels);
const placeIndex = index(places);
const personIndex = index(people);

export function barrelBy(id: Uuid): ShownBarrel | undefined {
  return barrelIndex.value.get(id);
}

export function placeBy(id: Uuid): Place | undefined {
  return placeIndex.value.get(id);
}

export function personBy(id: Uuid): Person | undefined {
  return personIndex.value.get(id);
}

export function personName(id: Uuid): string {
  return personBy(id)?.name ?? 'Somebody';
}

export function barrelOfTag(code: string): ShownBarrel | undefined {
  return barrels.value.find((barrel) => barrel.tag_code === code);
}

/** The barrel that carried a code once, and since when it carries another. */
export function barrelOfFormerTag(code: string): { barrel: ShownBarrel; replaced_at: string } | null {
  for (const barrel of barrels.value) {
    const former = barrel.former_tags.find((one) => one.code === code);
    if (former) return { barrel, replaced_at: former.replaced_at };
  }
  return null;
}

export function reservationsOf(barrel: Uuid): Reservation[] {
  return reservations.value.filter((one) => one.barrel === barrel);
}

const HERE: Record<OutboxEntry['state'], Here> = {
  queued: 'on_this_phone',
  sending: 'sending',
  done: 'sent',
  refused: 'sent_back',
  conflicted: 'conflicted',
};

/** An unsent entry as a line of the log. */
export function asLogLine(entry: OutboxEntry, stay: Uuid | null): LogLine {
  return {
    id: entry.id,
    collection: entry.collection,
    barrel: entry.barrel,
    stay,
    author: entry.author,
    subject: text(entry.body.taster),
    happened_at: text(entry.body.happened_at) ?? new Date(entry.made_at_ms).toISOString(),
    entered_at: text(entry.body.entered_at) ?? new Date(entry.made_at_ms).toISOString(),
    received_at: null,
    placement: 'placed',
    set_aside_reason: '',
    flags: [],
    replaces: text(entry.body.replaces),
    is_head: true,
    is_void: false,
    body: entry.body,
    here: HERE[entry.state],
  };
}

/** Lays this phone's entries over a log, newest first; exported for its tests. */
export function overlaidLog(
  log: readonly LogEntry[],
  entries: readonly OutboxEntry[],
  stay: Uuid | null,
): LogLine[] {
  const known = new Set(log.map((line) => line.id));
  const isLine = (entry: OutboxEntry): boolean =>
    entry.base_version === null &&
    !REGISTERS.has(entry.collection) &&
    !OF_FLIGHTS.test(entry.collection) &&
    !known.has(entry.id) &&
    !entry.mended_by;
  const added = entries.filter(isLine).map((entry) => asLogLine(entry, stay));
  // A correction or a void that is still here already holds on this phone.
  const waiting = added.filter((line) => line.here === 'on_this_phone' || line.here === 'sending');
  const replaced = new Set(waiting.map((line) => line.replaces).filter((id) => id !== null));
  const voided = new Set(
    waiting.filter((line) => line.collection === 'voids').map((line) => text(line.body?.act)),
  );
  const sent: LogLine[] = log.map((line) => ({ ...line, here: 'sent' }));
  return [...added, ...sent]
    .map((line) => ({
      ...line,
      is_head: line.is_head && !replaced.has(line.id),
      is_void: line.is_void || voided.has(line.id),
    }))
    .sort((a, b) => Date.parse(b.happened_at) - Date.parse(a.happened_at) || b.id.localeCompare(a.id));
}

/** What happened in the last two days at any barrel, this phone's own entries among it. */
export const lately: ReadonlySignal<LogLine[]> = computed(() =>
  overlaidLog(readLately.value, outboxEntries.value, null),
);

const logs = new Map<Uuid, ReadonlySignal<LogLine[] | null>>();

/** The log of one barrel, newest first; null while it is read for the first time. */
export function logOf(barrel: Uuid): ReadonlySignal<LogLine[] | null> {
  let shown = logs.get(barrel);
  if (!shown) {
    const read = readLog(barrel);
    shown = computed(() => {
      const log = read.value;
      const entries = outboxEntries.value.filter((entry) => entry.barrel === barrel);
      if (log === null) return null;
      return overlaidLog(log, entries, barrelIndex.value.get(barrel)?.contents?.stay ?? null);
    });
    logs.set(barrel, shown);
  }
  return shown;
}
