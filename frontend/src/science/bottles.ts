/** How many bottles a yield fills, how full, how long they keep, and the oxygen in the gap above the liquid. See docs/science/bottles.md. */

import { Inconsistent, requireNumber, sixDigits } from './errors.ts';
import {
  GAS_CONSTANT_J_MOL_K,
  HEADSPACE_TARGET,
  KEEPING_DAYS,
  KEEPS_AS_MIX_FROM_ABV_PCT,
  KEEPS_AS_SPIRIT_FROM_ABV_PCT,
  OXYGEN_KG_MOL,
  OXYGEN_SHARE_OF_AIR,
  ZERO_CELSIUS_K,
} from './tables.ts';
import type {
  AbvPct,
  Celsius,
  Fraction,
  Kilopascals,
  Litres,
  MilligramsPerLitre,
  Millilitres,
  Millimetres,
} from './units.ts';

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

/** How much goes into one bottle so that a gap is left above it. */
export function headspaceFillMl(
  bottle_ml: Millilitres,
  headspace_fraction = HEADSPACE_TARGET as Fraction,
): Millilitres {
  requireNumber('bottle_ml', bottle_ml, 0, 10_000, 'mL', true);
  requireNumber('headspace_fraction', headspace_fraction, 0, 0.5, 'of the bottle');
  return (bottle_ml * (1 - headspace_fraction)) as Millilitres;
}

/** How far below the foot of the cork the liquid stands, as long as the neck is straight. */
export function neckDepthMm(headspace_ml: Millilitres, bore_mm: Millimetres): Millimetres {
  requireNumber('headspace_ml', headspace_ml, 0, 10_000, 'mL');
  requireNumber('bore_mm', bore_mm, 5, 100, 'mm');
  return ((4000 * headspace_ml) / (Math.PI * bore_mm ** 2)) as Millimetres;
}

/** How long a closed bottle keeps its quality, never its safety, by how empty it is and what is in it. */
export function keepingDays(
  headspace_fraction: Fraction,
  abv_pct: AbvPct,
  { is_wine_based = false }: { is_wine_based?: boolean | undefined } = {},
): { days: number; is_kept_cold: boolean } {
  requireNumber('headspace_fraction', headspace_fraction, 0, 1, 'of the bottle');
  requireNumber('abv_pct', abv_pct, 0, 100, '% vol');
  const is_kept_cold = is_wine_based || abv_pct < KEEPS_AS_MIX_FROM_ABV_PCT;
  const column = is_kept_cold ? 3 : abv_pct >= KEEPS_AS_SPIRIT_FROM_ABV_PCT ? 1 : 2;
  const row = KEEPING_DAYS.find(([up_to]) => headspace_fraction <= up_to!)!;
  return { days: row[column]!, is_kept_cold };
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
