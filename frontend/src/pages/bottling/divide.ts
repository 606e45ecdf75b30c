/** Who takes which bottles: the shares' division, and the swaps that people agree on. */

import type { Uuid, Vessel } from '~/api/types.ts';
import { orderOf, type Sharer, type SharerWeight, sharing } from '~/outbox/ties.ts';
import { bottleCount } from '~/science/bottles.ts';
import { divideSizes, type SizesDivision, splitCost } from '~/science/sharing.ts';
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

type Divided = Pick<Vessel, 'ties' | 'ties_lost' | 'shares' | 'club_weight' | 'cost_minor' | 'volume_l'>;

function fairly(
  vessel: Pick<Vessel, 'ties' | 'shares' | 'club_weight'>,
  lines: readonly BottleLine[],
  heel_ml: number,
): { people: SharerWeight[]; fair: SizesDivision } {
  const people = sharing(vessel);
  const persons = people.map(({ person }) => person);
  const weights = people.map(({ weight }) => weight);
  const order = orderOf(vessel.ties, persons) ?? persons.map((_, row) => row);
  return { people, fair: divideSizes(lines, weights, heel_ml, order) };
}

/** The fair division. */
export function division(
  vessel: Divided,
  lines: readonly BottleLine[],
  heel_ml: number,
  drawn_ml: number,
): DivisionRow[] {
  const { people, fair } = fairly(vessel, lines, heel_ml);
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

/** Those who stood level for a bottle: who got it, who did not, and whether it was owed from an earlier tie. */
export interface Tie {
  won: Sharer[];
  lost: Sharer[];
  is_owed: boolean;
  /** Who is ahead in the next tie: who lost now, who won, or neither. */
  next: 'lost' | 'even' | 'won';
}

/** The tie in a division, if there is one. */
export function tieOf(vessel: Divided, lines: readonly BottleLine[], heel_ml: number): Tie | null {
  const { people, fair } = fairly(vessel, lines, heel_ml);
  if (fair.lost.length === 0) return null;
  const who = (rows: readonly number[]): Sharer[] => rows.map((row) => people[row]!.person);
  const owed = (person: Sharer): number => vessel.ties_lost?.[vessel.ties.indexOf(person)] ?? 0;
  const lost = who(fair.lost);
  const won = who(fair.tied.filter((row) => !fair.lost.includes(row)));
  const [least_won, most_lost] = [Math.min(...won.map(owed)), Math.max(...lost.map(owed))];
  const ahead = most_lost + 1 - least_won;
  const next = ahead > 0 ? 'lost' : ahead === 0 ? 'even' : 'won';
  return { won, lost, is_owed: least_won > most_lost, next };
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
