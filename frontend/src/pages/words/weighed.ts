/** What a weighed liquid amounts to, sweetened or not. */

import { densityFromAbvKgM3 } from '~/science/alcoholometry.ts';
import { SUGAR_ROOM_L_KG } from '~/science/tables.ts';
import type { AbvPct, KgM3 } from '~/science/units.ts';

/** Density at 20 °C: what is not sugar has the density of its own strength. */
export function densityKgM3Of(abv_pct: number, sugar_g_l: number): KgM3 {
  const rest = 1 - (SUGAR_ROOM_L_KG * sugar_g_l) / 1000;
  return (densityFromAbvKgM3(Math.min(100, abv_pct / rest) as AbvPct) * rest + sugar_g_l) as KgM3;
}

/** Litres of a weighed liquid. */
export const litresOfMass = (mass_kg: number, abv_pct: number, sugar_g_l: number): number =>
  (1000 * mass_kg) / densityKgM3Of(abv_pct, sugar_g_l);
