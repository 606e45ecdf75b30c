/**
 * Numbers in words. A range never shows a finer step than it supports: the last digit shown is the largest power of
 * ten that still fits into the range's width.
 */

const NO_BREAK = '\u00a0';

export interface RangeValues {
  low: number;
  high: number;
  /** "L", "mL", "% vol"; empty for a bare number. */
  unit: string;
  /** "to" in sentences, "dash" in tables. */
  join?: 'to' | 'dash';
}

/** The step a range of this width is rounded to. */
export function stepFor(width: number): number {
  if (!(width > 0)) return 0;
  // A hair of tolerance, so that 4.3 - 4.1 counts as 0.2 and 0.1 as 0.1 in binary.
  const power = Math.floor(Math.log10(width) + 1e-9);
  const step = 10 ** power;
  return power >= 1 && width / step < 2 ? step / 2 : step;
}

/** However narrow a range is, a third significant digit is the last that anything here supports. */
function finestStep(size: number): number {
  return size > 0 ? 10 ** (Math.floor(Math.log10(size)) - 2) : 0;
}

function decimalsOf(step: number): number {
  return Math.max(0, Math.round(-Math.log10(step)));
}

/** A single number without trailing noise: three significant digits unless told the decimals. */
export function plainNumber(value: number, decimals?: number): string {
  if (decimals !== undefined) return value.toFixed(decimals);
  if (value === 0) return '0';
  const digits = Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))));
  return String(Number(value.toFixed(Math.min(digits, 3))));
}

/** Joins a number and its unit so that they stay on one line. */
export function withUnit(number: string, unit: string): string {
  return unit ? `${number}${NO_BREAK}${unit.replaceAll(' ', NO_BREAK)}` : number;
}

/** "About" and a hundredth of a small figure contradict each other: two digits below ten. */
function aboutNumber(value: number): string {
  return Math.abs(value) < 10 ? String(Number(value.toPrecision(2))) : plainNumber(value);
}

/** "4.1 to 4.3 L"; "about 4.2 L" where both ends are the same. */
export function rangeText({ low, high, unit, join = 'to' }: RangeValues): string {
  const [from, to] = low <= high ? [low, high] : [high, low];
  if (to === from) return withUnit(`about ${aboutNumber(from)}`, unit);
  const step = Math.max(stepFor(to - from), finestStep(Math.max(Math.abs(from), Math.abs(to))));
  const decimals = decimalsOf(step);
  const a = (Math.round(from / step) * step).toFixed(decimals);
  const b = (Math.round(to / step) * step).toFixed(decimals);
  if (a === b) return withUnit(`about ${aboutNumber((from + to) / 2)}`, unit);
  return withUnit(join === 'dash' ? `${a}${NO_BREAK}\u2013${NO_BREAK}${b}` : `${a} to ${b}`, unit);
}
