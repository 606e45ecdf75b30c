/** The glasses of a blind flight, laid on the pourer's phone where no signal is: the service holds them to these rules. */

import type { Uuid } from '../api/types.ts';

/** From so many barrels on, one of them stands there twice, unless nobody wants it. */
export const DOUBLED_FROM = 4;
/** Without a nought in front, so that it is read as it is written. */
const LOWEST = 100;
const CODES = 900;

export interface PouredGlass {
  code: string;
  fill: Uuid;
}

/** Gives a whole number from 0 to below `below`, each as likely as any other. */
export type Chance = (below: number) => number;

/** Chance that nobody can foresee: a key that a taster could guess would be none. */
export const secretChance: Chance = (below) => {
  const whole = 2 ** 32;
  const [word] = crypto.getRandomValues(new Uint32Array(1)) as unknown as [number];
  // What lies beyond the last whole round would favour the first numbers.
  return word < whole - (whole % below) ? word % below : secretChance(below);
};

function shuffled<T>(list: readonly T[], chance: Chance): T[] {
  const left = [...list];
  const line: T[] = [];
  while (left.length > 0) line.push(...left.splice(chance(left.length), 1));
  return line;
}

/**
 * The glasses in the order of pouring. A doubled fill stands half a round from itself, so that no taster, wherever they
 * start, has it twice running.
 */
export function laidGlasses(
  fills: readonly Uuid[],
  withDuplicate: boolean,
  chance: Chance = secretChance,
): PouredGlass[] {
  let line = shuffled(fills, chance);
  if (withDuplicate && line.length >= DOUBLED_FROM) {
    line.splice(Math.floor((line.length + 1) / 2), 0, line[0]!);
  }
  const start = chance(line.length);
  line = [...line.slice(start), ...line.slice(0, start)];
  const codes = new Set<string>();
  while (codes.size < line.length) codes.add(String(LOWEST + chance(CODES)));
  return [...codes].map((code, index) => ({ code, fill: line[index]! }));
}

/** The codes as the taster of that number meets them: rotated, so that no glass is everybody's first. */
export function codesFor(glasses: readonly PouredGlass[], taster: number): string[] {
  const start = glasses.length > 0 ? taster % glasses.length : 0;
  return [...glasses.slice(start), ...glasses.slice(0, start)].map((glass) => glass.code);
}
