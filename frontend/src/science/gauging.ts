/**
 * How much liquid there is, by weight or by a volume at some temperature.
 * Source: OIML R 22, International Alcoholometric Tables, 1975, Tables XI and XII; docs/science/gauging.md.
 */

import { densityKgM3, massFractionFromAbvPct } from './alcoholometry.ts';
import { requireNumber, requireWithin } from './errors.ts';
import { AIR_KG_M3, REFERENCE_TEMP_C, SCALE_WEIGHTS_KG_M3, STEEL_MEASURE_PER_C } from './tables.ts';
import type { AbvPct, Celsius, KgM3, Kilograms, Litres } from './units.ts';

/** Reduces a volume measured at some temperature to 20 °C; a steel measure grows too. */
export function volumeAt20cL(
  volume_l: Litres,
  abv_pct: AbvPct,
  temp_c: Celsius,
  is_steel_measure = false,
): Litres {
  requireNumber('volume_l', volume_l, 0, null, 'L');
  const p = massFractionFromAbvPct(abv_pct);
  const ratio = densityKgM3(p, temp_c) / densityKgM3(p, REFERENCE_TEMP_C as Celsius);
  const steel = is_steel_measure ? 1 + STEEL_MEASURE_PER_C * (temp_c - REFERENCE_TEMP_C) : 1;
  return (volume_l * ratio * steel) as Litres;
}

/** Volume at 20 °C from what a scale shows for the liquid alone, the lift of the air taken out. */
export function volumeFromWeightL(weight_kg: Kilograms, density_20c_kg_m3: KgM3): Litres {
  requireNumber('weight_kg', weight_kg, 0, null, 'kg');
  requireWithin('density_20c_kg_m3', density_20c_kg_m3, 'density_kg_m3');
  const mass_g = 1000 * weight_kg * (1 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3);
  return (mass_g / (density_20c_kg_m3 - AIR_KG_M3)) as Litres;
}

/** What a scale in air shows for a volume of liquid. */
export function weightInAirKg(volume_l: Litres, density_kg_m3: KgM3): Kilograms {
  requireNumber('volume_l', volume_l, 0, null, 'L');
  requireWithin('density_kg_m3', density_kg_m3, 'density_kg_m3');
  const lifted = density_kg_m3 - AIR_KG_M3;
  return ((volume_l * lifted) / (1 - AIR_KG_M3 / SCALE_WEIGHTS_KG_M3) / 1000) as Kilograms;
}
