/** How many bottles a yield fills, and the oxygen in the gap above the liquid. See docs/science/bottles.md. */

import { Inconsistent, requireNumber, sixDigits } from './errors.ts';
import { GAS_CONSTANT_J_MOL_K, OXYGEN_KG_MOL, OXYGEN_SHARE_OF_AIR, ZERO_CELSIUS_K } from './tables.ts';
import type { Celsius, Fraction, Kilopascals, Litres, MilligramsPerLitre } from './units.ts';

/** Full bottles that a volume gives, and what is left: floor((V - loss)/fill). */
export function bottleCount(
  volume_l: Litres,
  fill_l: Litres,
  loss_l = 0 as Litres,
): { bottles: number; remainder_l: Litres } {
  requireNumber('volume_l', volume_l, 0, 1000, 'L');
  requireNumber('fill_l', fill_l, 0, 100, 'L', true);
  requireNumber('loss_l', loss_l, 0, null, 'L');
  if (loss_l > volume_l) {
    throw new Inconsistent('loss_l', loss_l, `at most the volume, ${sixDigits(volume_l)} L`);
  }
  const left = volume_l - loss_l;
  // A quotient a hair under a whole number is rounding, not a bottle less.
  const bottles = Math.floor(left / fill_l + 1e-9);
  return { bottles, remainder_l: Math.max(left - bottles * fill_l, 0) as Litres };
}

/** Oxygen in the gap of a closed bottle per litre of liquid: 279 H/(1 - H) at 20 °C. */
export function headspaceOxygenMgL(
  headspace_fraction: Fraction,
  temp_c = 20 as Celsius,
  pressure_kpa = 101.325 as Kilopascals,
): MilligramsPerLitre {
  requireNumber('headspace_fraction', headspace_fraction, 0, 0.99, 'of the bottle');
  requireNumber('temp_c', temp_c, -20, 60, 'degrees Celsius');
  requireNumber('pressure_kpa', pressure_kpa, 50, 120, 'kPa');
  const moles_m3 = (1000 * pressure_kpa) / (GAS_CONSTANT_J_MOL_K * (temp_c + ZERO_CELSIUS_K));
  const per_litre = 1000 * OXYGEN_SHARE_OF_AIR * OXYGEN_KG_MOL * moles_m3;
  return ((per_litre * headspace_fraction) / (1 - headspace_fraction)) as MilligramsPerLitre;
}
