/** Blind flights as this phone shows them: with what was begun, scored and closed here laid over them. */

import { computed, type ReadonlySignal } from '@preact/signals';
import { session } from '../api/session.ts';
import type { Flight, Uuid } from '../api/types.ts';
import { readFlights } from '../store/club.ts';
import { counts, type OutboxEntry } from './entry.ts';
import { outboxEntries } from './queue.ts';

export interface ShownFlight extends Flight {
  /** Only this phone knows of it yet: the service has given it no codes. */
  is_here: boolean;
  /** Its closing waits on this phone. */
  is_closing: boolean;
}

const strings = (value: unknown): string[] => (Array.isArray(value) ? value.map(String) : []);

/** A flight that was begun here. */
function begun(entry: OutboxEntry): ShownFlight {
  return {
    id: entry.id,
    pourer: entry.author,
    poured_at: String(entry.body.happened_at),
    sample_ml: Number(entry.body.sample_ml),
    ethanol_ml: 0,
    allergens: [],
    note: '',
    opened_at: null,
    opened_by: null,
    glasses: 0,
    tasters: strings(entry.body.tasters).map((person) => ({ person, scored: 0, codes: null })),
    mine: [],
    key: null,
    scores: null,
    noise: [],
    is_here: true,
    is_closing: false,
  };
}

/** What this phone's person scored, the last word on each glass counting. */
function withScores(flight: ShownFlight, entries: readonly OutboxEntry[], me: Uuid): ShownFlight {
  const own = entries.filter(
    (entry) => entry.collection === 'blind-tastings' && entry.body.flight === flight.id,
  );
  if (own.length === 0) return flight;
  const mine = new Map(flight.mine.map((score) => [score.code, score]));
  for (const entry of own) {
    const code = String(entry.body.code);
    mine.set(code, {
      code,
      act: entry.id,
      liking: Number(entry.body.liking),
      oak: typeof entry.body.oak === 'number' ? entry.body.oak : null,
    });
  }
  const tasters = flight.tasters.map((line) => (line.person === me ? { ...line, scored: mine.size } : line));
  return { ...flight, tasters, mine: [...mine.values()] };
}

/** Lays entries over the flights as read; exported for its tests. */
export function overlaidFlights(
  read: readonly Flight[],
  entries: readonly OutboxEntry[],
  me: Uuid,
): ShownFlight[] {
  const waiting = [...entries].filter(counts).sort((a, b) => a.order - b.order);
  const known = new Set(read.map((flight) => flight.id));
  const here = waiting
    .filter((entry) => entry.collection === 'flights' && !known.has(entry.id))
    .map(begun)
    .reverse();
  const closing = new Set(
    waiting.filter((entry) => entry.collection === 'flight-closings').map((entry) => entry.body.flight),
  );
  return [...here, ...read.map((flight) => ({ ...flight, is_here: false, is_closing: false }))].map(
    (flight) =>
      withScores({ ...flight, is_closing: closing.has(flight.id) && flight.opened_at === null }, waiting, me),
  );
}

export const flights: ReadonlySignal<ShownFlight[]> = computed(() =>
  overlaidFlights(readFlights.value, outboxEntries.value, session.value.person?.id ?? ''),
);

export function flightBy(id: Uuid): ShownFlight | undefined {
  return flights.value.find((one) => one.id === id);
}
