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
  return { bottles: given.map(Number), tied: isTie ? rows.filter((row) => remainders[row] === level) : [] };
}
