/**
 * Dividing whole bottles by shares, exactly: everyone gets the whole part of their quota, spare bottles go to the
 * largest remainders. Equal remainders are a tie: the larger share first, then the order given. See
 * docs/science/sharing.md.
 */

import { Inconsistent, OutOfRange, Underdetermined } from './errors.ts';

export interface BottleDivision {
  bottles: number[];
  /** The rows that stood level for the last bottle; empty when nobody did. */
  tied: number[];
  /** Those among them that got none. */
  lost: number[];
}

/** A whole number beyond 2^53 has lost digits before it arrives, so it must come as a bigint. */
function whole(argument: string, value: number | bigint): bigint {
  const isWhole = typeof value === 'bigint' || (typeof value === 'number' && Number.isSafeInteger(value));
  if (!isWhole || value < 0) throw new OutOfRange(argument, value, 'a whole number, 0 or more');
  return BigInt(value);
}

const by = (one: bigint, other: bigint): number => (one < other ? -1 : one > other ? 1 : 0);

/** Divides whole bottles by integer shares with the largest remainder. */
export function divideBottles(
  shares: readonly (number | bigint)[],
  bottles: number,
  tie_order?: readonly number[],
): BottleDivision {
  if (shares.length === 0) throw new Underdetermined('shares', shares, 'at least one share');
  const parts = shares.map((share) => whole('shares', share));
  const toShare = whole('bottles', bottles);
  const total = parts.reduce((sum, part) => sum + part, 0n);
  if (total === 0n) throw new Underdetermined('shares', shares, 'at least one share above 0');
  const rows = parts.map((_, row) => row);
  const order = tie_order ? [...tie_order] : rows;
  if ([...order].sort((a, b) => a - b).join() !== rows.join()) {
    throw new Inconsistent('tie_order', order, `each of 0 to ${shares.length - 1} once`);
  }
  const given = parts.map((part) => (toShare * part) / total);
  // All quotas have one denominator, so remainders compare as whole numbers.
  const remainders = parts.map((part) => (toShare * part) % total);
  const spare = Number(toShare - given.reduce((sum, one) => sum + one, 0n));
  const ranked = [...rows].sort(
    (a, b) =>
      by(remainders[b]!, remainders[a]!) || by(parts[b]!, parts[a]!) || order.indexOf(a) - order.indexOf(b),
  );
  for (const row of ranked.slice(0, spare)) given[row]! += 1n;
  const level = remainders[ranked[spare] ?? 0]!;
  const isTie = spare > 0 && spare < rows.length && remainders[ranked[spare - 1]!] === level;
  const tied = isTie ? rows.filter((row) => remainders[row] === level) : [];
  const won = ranked.slice(0, spare);
  return { bottles: given.map(Number), tied, lost: tied.filter((row) => !won.includes(row)) };
}

/** What each share gets of bottles of several sizes: bottles of each size, part of the heel and all received. */
export interface SizesDivision {
  bottles: number[][];
  heel_split_ml: number[];
  received_ml: number[];
  /** The rows that stood level for a last bottle of some size. */
  tied: number[];
  /** Those among them that then got none. */
  lost: number[];
}

/**
 * Divides bottles of several sizes: the largest first, each size by what every share still lacks, then the heel. The
 * deficits times the sum of shares are whole numbers, so the exact rule divides by them.
 */
export function divideSizes(
  sizes: readonly { fill_ml: number; count: number }[],
  shares: readonly number[],
  heel_ml = 0,
  tie_order?: readonly number[],
): SizesDivision {
  const weights = shares.map((share) => whole('shares', share));
  const heel = whole('heel_ml', heel_ml);
  const total = sizes.reduce(
    (sum, one) => sum + whole('fill_ml', one.fill_ml) * whole('count', one.count),
    heel,
  );
  const all = weights.reduce((sum, one) => sum + one, 0n);
  const received = weights.map(() => 0n);
  const lacking = (): bigint[] => {
    const short = weights.map((weight, row) => total * weight - all * received[row]!);
    return short.some((one) => one > 0n) ? short.map((one) => (one > 0n ? one : 0n)) : weights;
  };
  const bottles: number[][] = sizes.map(() => []);
  const tied = new Set<number>();
  const lost = new Set<number>();
  const largest = sizes.map((_, row) => row).sort((a, b) => sizes[b]!.fill_ml - sizes[a]!.fill_ml || a - b);
  for (const row of largest) {
    const { fill_ml, count } = sizes[row]!;
    const division = divideBottles(lacking(), count, tie_order);
    bottles[row] = division.bottles;
    for (const one of division.tied) tied.add(one);
    for (const one of division.lost) lost.add(one);
    division.bottles.forEach((got, share) => {
      received[share]! += BigInt(got) * BigInt(fill_ml);
    });
  }
  const heel_split_ml = divideBottles(lacking(), heel_ml, tie_order).bottles;
  return {
    bottles,
    heel_split_ml,
    received_ml: received.map((got, row) => Number(got) + heel_split_ml[row]!),
    tied: [...tied].sort((a, b) => a - b),
    lost: [...lost].sort((a, b) => a - b),
  };
}

/** Splits money by whole shares to the smallest coin; the sum is the amount, always. */
export function splitCost(amount_minor: number, shares: readonly number[]): number[] {
  const parts = divideBottles(shares, Math.abs(amount_minor)).bottles;
  return amount_minor < 0 ? parts.map((part) => -part) : parts;
}
