/** Blind flights as this phone shows them: with what was begun, scored and ended here laid over them. */

import { computed, type ReadonlySignal } from '@preact/signals';
import { session } from '../api/session.ts';
import type { Barrel, Flight, Uuid } from '../api/types.ts';
import { readFlights } from '../store/club.ts';
import { counts, type OutboxEntry } from './entry.ts';
import { codesFor, type PouredGlass } from './flight-codes.ts';
import { barrels } from './overlay.ts';
import { outboxEntries } from './queue.ts';

export interface ShownFlight extends Flight {
  /** Only this phone knows of it yet. */
  is_here: boolean;
  /** Its closing waits on this phone. */
  is_closing: boolean;
}

type Mine = Flight['mine'][number];

/** A score without its flight belongs to one that was poured within a day before it; the service counts the same. */
const POURED_WITHIN_MS = 86_400_000;
const CLOCKS_WITHIN_MS = 3_600_000;

const strings = (value: unknown): string[] => (Array.isArray(value) ? value.map(String) : []);

/** Pure alcohol in one taster's glasses; the twin as strong as the strongest, so that it does not tell itself. */
function ethanolMl(sample_ml: number, poured: readonly Barrel[], glasses: number): number {
  const strengths = poured.map((barrel) => barrel.contents?.start_abv_pct ?? 0);
  const twins = Math.max(0, glasses - strengths.length);
  const sum = strengths.reduce((all, one) => all + one, 0) + twins * Math.max(0, ...strengths);
  return (sample_ml * sum) / 100;
}

/** A flight that was begun here: its pourer has all of it, with signal or without. */
function begun(entry: OutboxEntry, cellar: readonly Barrel[]): ShownFlight {
  const { body } = entry;
  // An entry of an older version has none: the service makes them.
  const glasses = Array.isArray(body.glasses) ? (body.glasses as PouredGlass[]) : [];
  const of = new Map(cellar.map((barrel) => [barrel.contents?.stay ?? '', barrel]));
  const poured = strings(body.fills)
    .map((fill) => of.get(fill))
    .filter((barrel) => barrel !== undefined);
  const sample_ml = Number(body.sample_ml);
  return {
    id: entry.id,
    pourer: entry.author,
    poured_at: String(body.happened_at),
    sample_ml,
    ethanol_ml: ethanolMl(sample_ml, poured, glasses.length),
    allergens: [
      ...new Set(poured.flatMap((barrel) => [...(barrel.contents?.allergens ?? []), ...barrel.allergens])),
    ] as Flight['allergens'],
    note: '',
    opened_at: null,
    opened_by: null,
    called_off_at: null,
    called_off_by: null,
    called_off_reason: '',
    glasses: glasses.length,
    tasters: strings(body.tasters).map((person, index) => ({
      person,
      scored: 0,
      codes: glasses.length > 0 ? codesFor(glasses, index) : null,
    })),
    mine: [],
    key:
      glasses.length > 0
        ? glasses.map(({ code, fill }) => ({ code, fill, barrel: of.get(fill)?.id ?? '' }))
        : null,
    scores: null,
    own: null,
    is_here: true,
    is_closing: false,
  };
}

/** Whether a score is of this flight: it names it, or was given by number alone while it stood on the table. */
function isOf(entry: OutboxEntry, flight: Flight, codes: ReadonlySet<string>): boolean {
  if (entry.body.flight) return entry.body.flight === flight.id;
  const after_ms = Date.parse(String(entry.body.happened_at)) - Date.parse(flight.poured_at);
  return codes.has(String(entry.body.code)) && after_ms >= -CLOCKS_WITHIN_MS && after_ms <= POURED_WITHIN_MS;
}

/** A score kept here, as the flight's row will have it. */
function given(entry: OutboxEntry, sample_ml: number): Mine {
  const { body } = entry;
  return {
    code: String(body.code),
    act: entry.id,
    liking: Number(body.liking),
    oak: typeof body.oak === 'number' ? body.oak : null,
    sample_ml: typeof body.sample_ml === 'number' ? body.sample_ml : sample_ml,
    is_spat: body.is_spat === true,
    tasted_on: String(body.tasted_on),
  };
}

/** What this phone's person scored, the last word on each glass counting. */
function withScores(flight: ShownFlight, entries: readonly OutboxEntry[], me: Uuid): ShownFlight {
  const codes = new Set(flight.tasters.find((line) => line.person === me)?.codes ?? []);
  const own = entries.filter((entry) => entry.collection === 'blind-tastings' && isOf(entry, flight, codes));
  if (own.length === 0) return flight;
  const mine = new Map(flight.mine.map((score) => [score.code, score]));
  for (const entry of own) mine.set(String(entry.body.code), given(entry, flight.sample_ml));
  const tasters = flight.tasters.map((line) => (line.person === me ? { ...line, scored: mine.size } : line));
  return { ...flight, tasters, mine: [...mine.values()] };
}

/** How it ends, where its end waits on this phone. */
function withEnd(flight: ShownFlight, entries: readonly OutboxEntry[]): ShownFlight {
  if (flight.opened_at !== null || flight.called_off_at !== null) return flight;
  const ends = entries.filter((entry) => entry.body.flight === flight.id);
  const off = ends.find((entry) => entry.collection === 'flight-cancellations');
  if (off) {
    return {
      ...flight,
      called_off_at: String(off.body.happened_at),
      called_off_by: off.author,
      called_off_reason: String(off.body.reason),
    };
  }
  return { ...flight, is_closing: ends.some((entry) => entry.collection === 'flight-closings') };
}

/** A row as this version knows it; one that an older version read has less in it. */
function whole(flight: Flight): ShownFlight {
  return {
    ...flight,
    called_off_at: flight.called_off_at ?? null,
    called_off_by: flight.called_off_by ?? null,
    called_off_reason: flight.called_off_reason ?? '',
    own: flight.own ?? null,
    mine: flight.mine.map((score) => ({ ...score, sample_ml: score.sample_ml ?? flight.sample_ml })),
    is_here: false,
    is_closing: false,
  };
}

/** Lays entries over the flights as read; exported for its tests. */
export function overlaidFlights(
  read: readonly Flight[],
  entries: readonly OutboxEntry[],
  me: Uuid,
  cellar: readonly Barrel[] = [],
): ShownFlight[] {
  const waiting = [...entries].filter(counts).sort((a, b) => a.order - b.order);
  const known = new Set(read.map((flight) => flight.id));
  const here = waiting
    .filter((entry) => entry.collection === 'flights' && !known.has(entry.id))
    .map((entry) => begun(entry, cellar))
    .reverse();
  return [...here, ...read.map(whole)].map((flight) => withEnd(withScores(flight, waiting, me), waiting));
}

export const flights: ReadonlySignal<ShownFlight[]> = computed(() =>
  overlaidFlights(readFlights.value, outboxEntries.value, session.value.person?.id ?? '', barrels.value),
);

export function flightBy(id: Uuid): ShownFlight | undefined {
  return flights.value.find((one) => one.id === id);
}

/** A score that was given by number alone, of a flight this phone has not read yet. */
export interface UnreadScore extends Mine {
  /** The service has it, and may keep it for the keeper until its flight comes. */
  is_sent: boolean;
}

/** What this phone's person scored by number alone since an instant, last word first; exported for its tests. */
export function unreadAmong(
  entries: readonly OutboxEntry[],
  shown: readonly ShownFlight[],
  me: Uuid,
  since_ms: number,
): UnreadScore[] {
  const taken = new Set(shown.flatMap((flight) => flight.mine.map((score) => score.act)));
  const found = new Map<string, UnreadScore>();
  for (const entry of [...entries].sort((a, b) => a.order - b.order)) {
    if (entry.collection !== 'blind-tastings' || entry.body.flight || entry.author !== me) continue;
    if (entry.state === 'refused' || entry.mended_by || taken.has(entry.id)) continue;
    if (Date.parse(String(entry.body.happened_at)) < since_ms) continue;
    const score = given(entry, 0);
    found.delete(score.code);
    found.set(score.code, { ...score, is_sent: entry.state === 'done' });
  }
  return [...found.values()].reverse();
}

export function unreadScores(since_ms: number): UnreadScore[] {
  return unreadAmong(outboxEntries.value, flights.value, session.value.person?.id ?? '', since_ms);
}
