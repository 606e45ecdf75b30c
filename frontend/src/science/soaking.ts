/**
 * What the wood drinks of a fill, and how much to mix for a barrel because of it. Working assumptions and their sources
 * stand in the server's rooms of the same names and in docs/science/blending.md.
 */

import { type Part, scaleToBarrel } from './blending.ts';
import { Inconsistent, requireChoice, requireNumber, requireWithin } from './errors.ts';
import { BOUNDS, SOAK_SHARE, USUAL_HEADROOM, WOOD_STATES } from './tables.ts';
import type { Days, Fraction, Litres, Millimetres, SquareMetres } from './units.ts';

export { SOAK_SPREAD, USUAL_HEADROOM } from './tables.ts';

export type WoodState = (typeof WOOD_STATES)[number];

/** What the wood has drunk since it was filled: w A [1.5 (1 - exp(-t)) + 0.09 L min(1, sqrt(t/100))], t in days. */
export function soakedL(
  days: Days,
  area_m2: SquareMetres,
  stave_mm: Millimetres,
  wood_state: string,
): Litres {
  requireWithin('days', days, 'days');
  requireWithin('area_m2', area_m2, 'area_m2');
  requireWithin('stave_mm', stave_mm, 'stave_mm');
  const share = SOAK_SHARE[requireChoice('wood_state', wood_state, WOOD_STATES)] ?? 1;
  const fast = 1.5 * (1 - Math.exp(-days));
  const slow = 0.09 * stave_mm * Math.min(1, Math.sqrt(days / 100));
  return (share * area_m2 * (fast + slow)) as Litres;
}

/** What to mix for one barrel: poured at once, kept back for the wood and for samples, all of it. */
export interface FillPlan {
  poured_l: Litres;
  for_the_wood_l: Litres;
  for_samples_l: Litres;
  mixed_l: Litres;
  parts: Part[];
}

export interface FillWish {
  capacity_l: Litres;
  area_m2: SquareMetres;
  stave_mm: Millimetres;
  wood_state: WoodState;
  /** For how many days from the fill topping up is meant to go on. */
  top_up_days: Days;
  samples_l?: Litres;
  headroom_fraction?: Fraction;
}

/** Scales a recipe to a barrel, with headroom, what the wood will drink and what will be tasted. */
export function planFill(parts: readonly Part[], wish: FillWish): FillPlan {
  const { capacity_l, samples_l = 0 as Litres, headroom_fraction = USUAL_HEADROOM } = wish;
  requireWithin('capacity_l', capacity_l, 'capacity_l');
  requireNumber('headroom_fraction', headroom_fraction, 0, 0.5);
  requireNumber('samples_l', samples_l, 0, BOUNDS.capacity_l[1], 'L');
  requireNumber('top_up_days', wish.top_up_days, 0, BOUNDS.days[1], 'days');
  const poured = capacity_l * (1 - headroom_fraction);
  if (samples_l > poured) {
    throw new Inconsistent('samples_l', samples_l, `at most the ${poured.toFixed(3)} L that are poured`);
  }
  const soaked = soakedL(wish.top_up_days, wish.area_m2, wish.stave_mm, wish.wood_state);
  const mixed = (poured + soaked + samples_l) as Litres;
  return {
    poured_l: poured as Litres,
    for_the_wood_l: soaked,
    for_samples_l: samples_l,
    mixed_l: mixed,
    parts: scaleToBarrel(parts, mixed),
  };
}
