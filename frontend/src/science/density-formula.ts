/**
 * The international alcoholometric formula itself, its derivative and its inverses, without checks of input.
 * Source: OIML R 22, International Alcoholometric Tables, 1975. Steps and stops are those of the server.
 */

import { decimals, NoSolution, sixDigits } from './errors.ts';
import { OIML_R22, REFERENCE_TEMP_C } from './tables.ts';

export interface DensityAndSlope {
  density: number;
  /** By mass fraction. */
  slope: number;
}

const perTemperature = /* @__PURE__ */ new Map<number, readonly number[]>();
const TEMPERATURES_KEPT = 64;

/** Gives the twelve coefficients of p^k at one temperature. */
function inMassFraction(temp_c: number): readonly number[] {
  const known = perTemperature.get(temp_c);
  if (known) return known;
  const u = temp_c - REFERENCE_TEMP_C;
  const made = OIML_R22.map((row) => row.reduceRight((total, coefficient) => total * u + coefficient, 0));
  if (perTemperature.size >= TEMPERATURES_KEPT) perTemperature.clear();
  perTemperature.set(temp_c, made);
  return made;
}

export function densityAndSlope(p: number, temp_c: number): DensityAndSlope {
  const coefficients = inMassFraction(temp_c);
  let density = 0;
  let slope = 0;
  for (let k = coefficients.length - 1; k >= 0; k--) {
    slope = slope * p + density;
    density = density * p + (coefficients[k] ?? 0);
  }
  return { density, slope };
}

/** Strength by volume (0 to 1) at a reference temperature, from mass fraction. */
export function strengthAt(p: number, reference_c: number): number {
  return (p * densityAndSlope(p, reference_c).density) / densityAndSlope(1, reference_c).density;
}

/** Mass fraction from strength by volume (0 to 1), by Newton's method from 0.8 q. */
export function massFractionAt(strength: number, reference_c: number): number {
  const pure = densityAndSlope(1, reference_c).density;
  let p = 0.8 * strength;
  for (let turn = 0; turn < 20; turn++) {
    const { density, slope } = densityAndSlope(p, reference_c);
    const step = (((p * density) / pure - strength) * pure) / (density + p * slope);
    p -= step;
    if (Math.abs(step) < 1e-12) break;
  }
  // Newton's floor is 3e-13, so what is all but pure may land that far outside 0 to 1.
  return Math.min(1, Math.max(0, p));
}

/** Mass fraction of a density, by Newton's method in a bracket; refuses densities that no plain spirit has. */
export function fractionOfDensity(density: number, temp_c: number): number {
  const heaviest = densityAndSlope(0, temp_c).density;
  const lightest = densityAndSlope(1, temp_c).density;
  const slack = 1e-9 * density;
  if (density > heaviest + slack || density < lightest - slack) {
    const range = `${decimals(lightest, 2)} to ${decimals(heaviest, 2)} kg/m3`;
    const bound = `${range}, a plain spirit at ${sixDigits(temp_c)} degrees Celsius`;
    throw new NoSolution('density_kg_m3', density, bound);
  }
  let [low, high, p] = [0, 1, 0.5];
  for (let turn = 0; turn < 80; turn++) {
    const at = densityAndSlope(p, temp_c);
    const miss = at.density - density;
    if (miss >= 0) low = p;
    if (miss <= 0) high = p;
    const newton = p - miss / at.slope;
    const moved = newton >= low && newton <= high ? newton : 0.5 * (low + high);
    const isDone = Math.abs(moved - p) < 1e-13;
    p = moved;
    if (isDone || high - low < 1e-14) break;
  }
  return p;
}
