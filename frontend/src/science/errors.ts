/**
 * Refusals of the science, the same as the server's: each names the argument, the value given and the bound, so that a
 * screen can say all three. Nothing is ever clipped into range.
 */

import { BOUNDS, LARGEST_NUMBER } from './tables.ts';

export class ScienceError extends Error {
  readonly argument: string;
  readonly value: unknown;
  readonly bound: string;

  constructor(argument: string, value: unknown, bound: string) {
    super(`${argument} is ${shown(value)}; allowed: ${bound}`);
    this.name = new.target.name;
    this.argument = argument;
    this.value = value;
    this.bound = bound;
  }
}

/** Not finite, not a number, or outside what the formula is valid for. */
export class OutOfRange extends ScienceError {}

/** Values that are each possible contradict one another. */
export class Inconsistent extends ScienceError {}

/** Too little to answer at all. */
export class Underdetermined extends ScienceError {}

/** An equation has no root in the allowed range. */
export class NoSolution extends ScienceError {}

/** Writes six digits of a number, without trailing zeros: 40, 0.333333, 1e+12. */
export function sixDigits(value: number): string {
  if (Number.isNaN(value)) return 'nan';
  if (!Number.isFinite(value)) return value > 0 ? 'inf' : '-inf';
  const [mantissa = '0', power = '0'] = value.toExponential(5).split('e');
  const exponent = Number(power);
  const bare = (text: string): string => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);
  if (exponent >= -4 && exponent < 6) return bare(value.toFixed(5 - exponent));
  const size = String(Math.abs(exponent)).padStart(2, '0');
  return `${bare(mantissa)}e${exponent < 0 ? '-' : '+'}${size}`;
}

/** Writes a number with some decimals; what lies halfway goes to the even digit, as the server writes it. */
export function decimals(value: number, digits: number): string {
  const text = value.toFixed(digits);
  const unit = 10 ** -digits;
  const isHalfway = Math.abs((value / unit) % 1) === 0.5;
  return isHalfway && Number(text.at(-1)) % 2 === 1
    ? (Number(text) - Math.sign(value) * unit).toFixed(digits)
    : text;
}

function shown(value: unknown): string {
  if (typeof value === 'number') return sixDigits(value);
  const text =
    typeof value === 'string' ? `'${value}'` : Array.isArray(value) ? `(${value.join(', ')})` : String(value);
  return text.length <= 60 ? text : `${text.slice(0, 57)}...`;
}

/** Writes a bound in words: "0 to 100 % vol", "more than 0 L". */
export function inWords(low: number | null, high: number | null, unit: string, above_low = false): string {
  const tail = unit ? ` ${unit}` : '';
  if (low !== null && high !== null) {
    const [from, to] = [sixDigits(low), sixDigits(high)];
    return (above_low ? `more than ${from}, up to ${to}` : `${from} to ${to}`) + tail;
  }
  if (low !== null) return `${above_low ? 'more than' : 'at least'} ${sixDigits(low)}${tail}`;
  if (high !== null) return `at most ${sixDigits(high)}${tail}`;
  return `a finite number${tail && ` in${tail}`}`;
}

/** Gives a number back, or refuses it: missing, not a number, not finite, or out of bounds. */
export function requireNumber<N extends number>(
  argument: string,
  value: N,
  low: number | null = null,
  high: number | null = null,
  unit = '',
  above_low = false,
): N {
  const bound = inWords(low, high, unit, above_low);
  const given: unknown = value;
  if (typeof given !== 'number' || !Number.isFinite(given)) throw new OutOfRange(argument, given, bound);
  const isLow = low !== null && (above_low ? given <= low : given < low);
  if (isLow || (high !== null && given > high)) throw new OutOfRange(argument, given, bound);
  if (Math.abs(given) > LARGEST_NUMBER) {
    throw new OutOfRange(argument, given, `${bound}, and no more than ${sixDigits(LARGEST_NUMBER)}`);
  }
  return value;
}

/** The same with a bound that all floors share. */
export function requireWithin<N extends number>(argument: string, value: N, bound: keyof typeof BOUNDS): N {
  const [low, high, unit] = BOUNDS[bound];
  return requireNumber(argument, value, low, high, unit);
}

/** Gives a word of a list back, or refuses it. */
export function requireChoice<W extends string>(argument: string, value: string, allowed: readonly W[]): W {
  const found = allowed.find((word) => word === value);
  if (found === undefined) throw new OutOfRange(argument, value, `one of ${allowed.join(', ')}`);
  return found;
}
