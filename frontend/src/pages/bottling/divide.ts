/** Who takes which bottles: the shares' division, and the swaps that people agree on. */

import { v5 } from 'uuid';
import type { Uuid, Vessel } from '~/api/types.ts';
import { bottleCount } from '~/science/bottles.ts';
import { divideSizes, splitCost } from '~/science/sharing.ts';
import { litres } from '~/science/units.ts';

export interface BottleLine {
  size_ml: number;
  fill_ml: number;
  count: number;
}

/** One bottle that goes from one to another. */
export interface Swap {
  from: Uuid | null;
  to: Uuid | null;
  line: number;
}

export interface DivisionRow {
  /** Nobody is the club. */
  person: Uuid | null;
  /** How many of each line. */
  bottles: number[];
  count: number;
  heel_ml: number;
  received_ml: number;
  cost_minor: number | null;
}

/** As many bottles of one size as are filled so high; one at least, to be changed. */
export function bottlesOf(left_ml: number, fill_ml: number): number {
  if (fill_ml < 1) return 1;
  return Math.max(1, bottleCount(litres(left_ml / 1000), litres(fill_ml / 1000)).bottles);
}

/** Who shares, as the server orders them: largest share first, the club last. */
function sharing(vessel: Pick<Vessel, 'shares' | 'club_weight'>): { person: Uuid | null; weight: number }[] {
  const people: { person: Uuid | null; weight: number }[] = [...vessel.shares].sort(
    (a, b) => b.weight - a.weight || (a.person < b.person ? -1 : 1),
  );
  if (vessel.club_weight > 0 || people.length === 0) {
    people.push({ person: null, weight: vessel.club_weight || 1 });
  }
  return people;
}

/** What the bottles of a draw cost: the same part of the vessel's cost as the server works out. */
function costOf(vessel: Pick<Vessel, 'cost_minor' | 'volume_l'>, drawn_ml: number): number | null {
  if (vessel.cost_minor === null || vessel.volume_l <= 0) return null;
  return Math.round(vessel.cost_minor * Math.min(1, drawn_ml / (1000 * vessel.volume_l)));
}

function paid(rows: DivisionRow[], cost_minor: number | null): DivisionRow[] {
  const total = rows.reduce((sum, row) => sum + row.received_ml, 0);
  if (cost_minor === null || total === 0) return rows;
  const parts = splitCost(
    cost_minor,
    rows.map((row) => row.received_ml),
  );
  return rows.map((row, at) => ({ ...row, cost_minor: parts[at] ?? null }));
}

/**
 * In which order ties are settled. The server knows who lost the last one; where it has not spoken yet, lots are drawn
 * by the vessel's own key, so that opening the screen again draws the same.
 */
export function tieOrder(vessel: Pick<Vessel, 'id' | 'ties'>, people: readonly (Uuid | null)[]): number[] {
  const rows = people.map((_, row) => row);
  const known = people.map((person) => vessel.ties.indexOf(person));
  if (known.every((place) => place >= 0)) return rows.sort((a, b) => known[a]! - known[b]!);
  const lots = people.map((person) => v5(person ?? 'club', vessel.id));
  return rows.sort((a, b) => (lots[a]! < lots[b]! ? -1 : 1));
}

/** The fair division. */
export function division(
  vessel: Pick<Vessel, 'id' | 'ties' | 'shares' | 'club_weight' | 'cost_minor' | 'volume_l'>,
  lines: readonly BottleLine[],
  heel_ml: number,
  drawn_ml: number,
): DivisionRow[] {
  const people = sharing(vessel);
  const order = tieOrder(
    vessel,
    people.map(({ person }) => person),
  );
  const fair = divideSizes(
    lines,
    people.map(({ weight }) => weight),
    heel_ml,
    order,
  );
  const rows = people.map(({ person }, row) => {
    const bottles = fair.bottles.map((counts) => counts[row] ?? 0);
    return {
      person,
      bottles,
      count: bottles.reduce((sum, one) => sum + one, 0),
      heel_ml: fair.heel_split_ml[row] ?? 0,
      received_ml: fair.received_ml[row] ?? 0,
      cost_minor: null,
    };
  });
  return paid(rows, costOf(vessel, drawn_ml));
}

/** Carries out swaps one after the other; one that somebody has no bottle for is left out. */
export function swapped(
  rows: readonly DivisionRow[],
  swaps: readonly Swap[],
  lines: readonly BottleLine[],
  vessel: Pick<Vessel, 'cost_minor' | 'volume_l'>,
  drawn_ml: number,
): DivisionRow[] {
  if (swaps.length === 0) return [...rows];
  const after = rows.map((row) => ({ ...row, bottles: [...row.bottles] }));
  for (const { from, to, line } of swaps) {
    const giver = after.find((row) => row.person === from);
    const taker = after.find((row) => row.person === to);
    const fill_ml = lines[line]?.fill_ml;
    if (!giver || !taker || giver === taker || fill_ml === undefined || !giver.bottles[line]) continue;
    giver.bottles[line]! -= 1;
    taker.bottles[line]! += 1;
    giver.count -= 1;
    taker.count += 1;
    giver.received_ml -= fill_ml;
    taker.received_ml += fill_ml;
  }
  return paid(after, costOf(vessel, drawn_ml));
}
