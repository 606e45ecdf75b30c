/**
 * Who wins a tie for a bottle that cannot be halved, as far as this phone knows: whoever lost more of them before among
 * the same people, then a lot drawn by the vessel's own key. The server's standing of earlier ties comes with each vessel;
 * what this phone bottled and took back since is laid over it. The same rule as the server's `selectors/ties.py`.
 */

import { v5 } from 'uuid';
import type { Uuid, Vessel } from '../api/types.ts';
import { divideSizes } from '../science/sharing.ts';
import type { OutboxEntry } from './entry.ts';

/** Nobody is the club. */
export type Sharer = Uuid | null;

export interface SharerWeight {
  person: Sharer;
  weight: number;
}

type Shared = Pick<Vessel, 'id' | 'shares' | 'club_weight' | 'ties' | 'ties_lost' | 'bottlings'>;

/** Who shares, as the server orders them: largest share first, the club last. */
export function sharing(vessel: Pick<Vessel, 'shares' | 'club_weight'>): SharerWeight[] {
  const people: SharerWeight[] = [...vessel.shares].sort(
    (a, b) => b.weight - a.weight || (a.person < b.person ? -1 : 1),
  );
  if (vessel.club_weight > 0 || people.length === 0) {
    people.push({ person: null, weight: vessel.club_weight || 1 });
  }
  return people;
}

/** The rows of people in the order of ties; null where the order names others than these. */
export function orderOf(order: unknown, people: readonly Sharer[]): number[] | null {
  if (!Array.isArray(order) || order.length !== people.length) return null;
  const rows = order.map((person) => people.indexOf(person as Sharer));
  return rows.includes(-1) || new Set(rows).size !== rows.length ? null : rows;
}

/** Whoever lost more ties first, else by lots that can be drawn again. */
function drawnOrder(id: Uuid, people: readonly Sharer[], lost: ReadonlyMap<Sharer, number>): number[] {
  const lots = people.map((person) => v5(person ?? 'club', id));
  const owed = people.map((person) => lost.get(person) ?? 0);
  return people.map((_, row) => row).sort((a, b) => owed[b]! - owed[a]! || (lots[a]! < lots[b]! ? -1 : 1));
}

function companyOf(vessel: Pick<Vessel, 'shares' | 'club_weight'>): string {
  const people = sharing(vessel).map(({ person }) => person ?? '');
  return people.length > 1 ? people.sort().join() : '';
}

/** What the server knows of a company's earlier ties: each of its vessels says the same, one read later says more. */
function told(vessels: readonly Shared[]): Map<Sharer, number> {
  // A row read before the server told it has none.
  const lost = (vessel: Shared): number[] => vessel.ties_lost ?? [];
  const sum = (vessel: Shared): number => lost(vessel).reduce((all, one) => all + one, 0);
  const known = vessels.filter((vessel) => lost(vessel).length > 0);
  const newest = known.reduce<Shared | null>((a, b) => (a === null || sum(b) > sum(a) ? b : a), null);
  return new Map(newest?.ties.map((person, at) => [person, lost(newest)[at] ?? 0]));
}

interface Line {
  fill_ml: number;
  count: number;
}

/** Adds to a company's standing who lost in a bottling of this phone. */
function lose(entry: OutboxEntry, vessel: Shared, lost: Map<Sharer, number>): void {
  const people = sharing(vessel);
  const persons = people.map(({ person }) => person);
  const order = orderOf(entry.body.drawn, persons) ?? drawnOrder(vessel.id, persons, lost);
  const heel_ml = typeof entry.body.heel_ml === 'number' ? entry.body.heel_ml : 0;
  const lines = Array.isArray(entry.body.bottles) ? (entry.body.bottles as Line[]) : [];
  const weights = people.map(({ weight }) => weight);
  let losers: number[] = [];
  try {
    losers = divideSizes(lines, weights, heel_ml, order).lost;
  } catch {
    // Figures that divide nothing are the server's to refuse.
  }
  for (const row of losers) lost.set(persons[row]!, (lost.get(persons[row]!) ?? 0) + 1);
}

const madeAt = (entry: OutboxEntry): number => Date.parse(String(entry.body.happened_at)) || entry.made_at_ms;

/** Gives each vessel its order of ties; one whose company this phone neither bottled nor took back keeps the server's. */
export function withTies<One extends Shared>(
  vessels: readonly One[],
  entries: readonly OutboxEntry[],
  undone: ReadonlySet<Uuid>,
): One[] {
  const companies = new Map<string, One[]>();
  for (const vessel of vessels) {
    const company = companyOf(vessel);
    companies.set(company, [...(companies.get(company) ?? []), vessel]);
  }
  const changed = new Map<Uuid, One>();
  for (const [company, members] of companies) {
    const seen = new Set(members.flatMap((vessel) => vessel.bottlings.map(({ act }) => act)));
    const own = entries
      .filter((entry) => entry.collection === 'bottlings' && !seen.has(entry.id) && !undone.has(entry.id))
      .flatMap((entry) => {
        const vessel = members.find(({ id }) => id === entry.body.vessel);
        return vessel ? [{ entry, vessel }] : [];
      })
      .sort((a, b) => madeAt(a.entry) - madeAt(b.entry) || (a.entry.id < b.entry.id ? -1 : 1));
    const takenBack = members.flatMap((vessel) => vessel.bottlings.filter(({ act }) => undone.has(act)));
    const isNew = members.some((vessel) => vessel.ties.length === 0);
    if (company === '' || (own.length === 0 && takenBack.length === 0 && !isNew)) continue;
    const lost = told(members);
    for (const { shares } of takenBack) {
      for (const { person, lost_tie } of shares) {
        if (lost_tie) lost.set(person, Math.max(0, (lost.get(person) ?? 0) - 1));
      }
    }
    for (const { entry, vessel } of own) lose(entry, vessel, lost);
    for (const vessel of members) {
      const people = sharing(vessel).map(({ person }) => person);
      const ties = drawnOrder(vessel.id, people, lost).map((row) => people[row]!);
      changed.set(vessel.id, { ...vessel, ties, ties_lost: ties.map((person) => lost.get(person) ?? 0) });
    }
  }
  return vessels.map((vessel) => changed.get(vessel.id) ?? vessel);
}
