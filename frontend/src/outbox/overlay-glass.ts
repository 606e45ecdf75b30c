/** Vessels and bottles as the screens read them: with what this phone decanted, drew and changed laid over them. */

import { computed, type ReadonlySignal } from '@preact/signals';
import type { Barrel, Bottle, Uuid, Vessel } from '../api/types.ts';
import { readBarrels, readBottles, readVessels } from '../store/club.ts';
import { counts, type OutboxEntry } from './entry.ts';
import { barrelBefore } from './life.ts';
import { outboxEntries } from './queue.ts';
import { withTies } from './ties.ts';

export interface ShownVessel extends Vessel {
  /** Only this phone knows of it yet. */
  is_here: boolean;
}

export interface ShownBottle extends Bottle {
  is_here: boolean;
}

const ML_PER_L = 1000;

const number = (value: unknown): number => (typeof value === 'number' ? value : 0);

/** A vessel that a decant of this phone made, with what it has of its fill; that, too, may be only here. */
function decanted(
  entry: OutboxEntry,
  barrels: readonly Barrel[],
  entries: readonly OutboxEntry[],
): ShownVessel {
  const barrel = barrelBefore(entry, barrels, entries);
  const fill = barrel?.contents?.kind === 'fill' ? barrel.contents : null;
  const measured = typeof entry.body.abv_pct === 'number' ? entry.body.abv_pct : null;
  return {
    id: entry.id,
    name: String(entry.body.vessel_name || fill?.name || barrel?.name || ''),
    made_by: 'decants',
    made_at: String(entry.body.happened_at),
    barrel: entry.barrel,
    fill: fill?.stay ?? null,
    volume_l: number(entry.body.measured_volume_l),
    left_l: number(entry.body.measured_volume_l),
    abv_pct: measured ?? fill?.start_abv_pct ?? null,
    abv_basis: measured === null ? 'as_filled' : 'measured',
    sugar_g_l: fill?.sugar_g_l ?? 0,
    spirit: fill?.spirit ?? 'unknown',
    family: fill?.family ?? 'neutral',
    allergens: [
      ...new Set([...(fill?.allergens ?? []), ...(barrel?.allergens ?? [])]),
    ] as Vessel['allergens'],
    is_private: fill?.is_private ?? false,
    is_wine_based: fill?.family === 'wine',
    ties: [],
    ties_lost: [],
    cost_minor: null,
    club_weight: fill?.club_weight ?? 0,
    shares: fill?.sharers ?? [],
    draws: [],
    bottlings: [],
    expected_l: null,
    is_here: true,
  };
}

/** What an unsent entry takes out of a vessel, in litres. */
function drawn_l(entry: OutboxEntry, vessel: Uuid): number {
  const { body } = entry;
  if (entry.collection === 'discards' && body.vessel === vessel) return number(body.volume_l);
  if (entry.collection === 'blends' || entry.collection === 'fills') {
    const parts = Array.isArray(body.parts) ? (body.parts as Record<string, unknown>[]) : [];
    return parts.reduce((sum, part) => sum + (part.vessel === vessel ? number(part.volume_l) : 0), 0);
  }
  if (entry.collection !== 'bottlings' || body.vessel !== vessel) return 0;
  const bottles = Array.isArray(body.bottles) ? (body.bottles as Record<string, unknown>[]) : [];
  const filled_ml = bottles.reduce((sum, one) => sum + number(one.fill_ml) * number(one.count), 0);
  return (filled_ml + number(body.heel_ml) + number(body.loss_ml)) / ML_PER_L;
}

/** The entries that others of this phone corrected or took back: what they took is in its vessel again. */
function undoneBy(mine: readonly OutboxEntry[]): Set<Uuid> {
  return new Set(
    mine
      .map((entry) => (entry.collection === 'voids' ? entry.body.act : entry.body.replaces))
      .filter((id): id is Uuid => typeof id === 'string'),
  );
}

/** A vessel with what this phone took out of it and gave back, each as a line of what was taken. */
function drawnOn(vessel: ShownVessel, mine: readonly OutboxEntry[], undone: ReadonlySet<Uuid>): ShownVessel {
  const seen = new Set(vessel.draws.map((draw) => draw.act));
  const kept = vessel.draws.filter((draw) => !undone.has(draw.act));
  const bottlings = vessel.bottlings.filter((bottling) => !undone.has(bottling.act));
  const here = mine
    .filter((entry) => !seen.has(entry.id) && !undone.has(entry.id))
    .map((entry) => ({
      act: entry.id,
      collection: entry.collection,
      happened_at: String(entry.body.happened_at ?? new Date(entry.made_at_ms).toISOString()),
      volume_l: drawn_l(entry, vessel.id),
      into: entry.collection === 'fills' ? entry.barrel : null,
    }))
    .filter((draw) => draw.volume_l > 0);
  if (here.length === 0 && kept.length === vessel.draws.length) return vessel;
  const draws = [...kept, ...here].sort((a, b) => Date.parse(a.happened_at) - Date.parse(b.happened_at));
  const taken_l = draws.reduce((sum, draw) => sum + draw.volume_l, 0);
  return { ...vessel, draws, bottlings, left_l: Math.max(0, vessel.volume_l - taken_l) };
}

/** Lays this phone's entries over the vessels; exported for its tests. */
export function overlaidVessels(
  read: readonly Vessel[],
  entries: readonly OutboxEntry[],
  barrels: readonly Barrel[],
): ShownVessel[] {
  const mine = entries.filter(counts);
  const known = new Set(read.map((vessel) => vessel.id));
  const undone = undoneBy(mine);
  const voided = new Set(mine.map((entry) => (entry.collection === 'voids' ? entry.body.act : null)));
  const made = mine
    .filter(
      (entry) =>
        entry.collection === 'decants' &&
        !entry.body.replaces &&
        !known.has(entry.id) &&
        !voided.has(entry.id),
    )
    .map((entry) => decanted(entry, barrels, mine));
  const all: ShownVessel[] = [...made, ...read.map((vessel) => ({ ...vessel, is_here: false }))].filter(
    (vessel) => !voided.has(vessel.id),
  );
  return withTies(all, mine, undone).map((vessel) => drawnOn(vessel, mine, undone));
}

/** Lays this phone's entries over a bottle; exported for its tests. */
export function overlaidBottle(bottle: Bottle, entries: readonly OutboxEntry[]): ShownBottle {
  const own = entries.filter(
    (entry) => counts(entry) && entry.collection === 'bottle-changes' && entry.body.bottle === bottle.id,
  );
  const shown: ShownBottle = { ...bottle, is_here: own.length > 0 };
  for (const entry of own) {
    const at = String(entry.body.happened_at);
    if (typeof entry.body.level_ml === 'number') shown.level_ml = entry.body.level_ml;
    switch (entry.body.change) {
      case 'opened':
      case 'level':
        shown.opened_at ??= at;
        break;
      case 'handed_over':
        shown.holder = typeof entry.body.person === 'string' ? entry.body.person : null;
        if (shown.holder === null) {
          shown.ended_at = at;
          shown.end = 'away';
        }
        break;
      default:
        shown.ended_at = at;
        shown.end = entry.body.change === 'broken' ? 'broken' : 'finished';
        shown.level_ml = 0;
    }
  }
  return shown;
}

export const vessels: ReadonlySignal<ShownVessel[]> = computed(() =>
  overlaidVessels(readVessels.value, outboxEntries.value, readBarrels.value),
);

export const bottles: ReadonlySignal<ShownBottle[]> = computed(() =>
  readBottles.value.map((bottle) => overlaidBottle(bottle, outboxEntries.value)),
);

export function vesselBy(id: Uuid): ShownVessel | undefined {
  return vessels.value.find((vessel) => vessel.id === id);
}

export function bottleOfTag(code: string): ShownBottle | undefined {
  return bottles.value.find((bottle) => bottle.tag_code === code);
}
