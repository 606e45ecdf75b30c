/**
 * Mixing by mass, sugar included. Masses of ethanol, water and sugar are each conserved; volumes are not, since ethanol
 * and water contract and sugar takes up room. The formulas and their sources stand in docs/science/blending.md.
 */

import {
  abvPctFromDensity,
  densityKgM3,
  ethanolDensityKgM3,
  massFractionFromAbvPct,
} from './alcoholometry.ts';
import {
  decimals,
  Inconsistent,
  NoSolution,
  requireNumber,
  requireWithin,
  Underdetermined,
} from './errors.ts';
import { volumeAt20cL } from './gauging.ts';
import { REFERENCE_TEMP_C, SUGAR_ROOM_L_KG, SYRUP_COEFFICIENTS, WATER_KG_L } from './tables.ts';
import type { AbvPct, Celsius, Fraction, GramsPerLitre, KgM3, Kilograms, Litres } from './units.ts';

export { ASSUMED_SUGAR_G_L } from './tables.ts';

const AT_20 = REFERENCE_TEMP_C as Celsius;
const NO_SUGAR = 0 as GramsPerLitre;

/** One thing that is poured in. A weighed density at 20 °C replaces the sweetened model for its water. */
export interface Part {
  volume_l: Litres;
  abv_pct: AbvPct;
  sugar_g_l?: GramsPerLitre;
  /** Of the liquid when its volume was measured; 20 °C when silent. */
  temp_c?: Celsius;
  density_kg_m3?: KgM3;
}

export interface Masses {
  ethanol_kg: Kilograms;
  water_kg: Kilograms;
  sugar_kg: Kilograms;
  volume_20c_l: Litres;
}

/** A mixture: volume and strength at 20 °C, masses, and what contraction took. */
export interface Blend {
  volume_l: Litres;
  abv_pct: AbvPct;
  sugar_g_l: GramsPerLitre;
  mass_kg: Kilograms;
  contraction_l: Litres;
  ethanol_kg: Kilograms;
  water_kg: Kilograms;
  sugar_kg: Kilograms;
  density_kg_m3: KgM3;
  mass_fraction: Fraction;
}

/** Volume that masses make at 20 °C: 1000 (m_e + m_w)/rho(p, 20) + 0.62 m_s. */
export function volumeOfMassesL(
  ethanol_kg: Kilograms,
  water_kg: Kilograms,
  sugar_kg = 0 as Kilograms,
): Litres {
  requireNumber('ethanol_kg', ethanol_kg, 0, null, 'kg');
  requireNumber('water_kg', water_kg, 0, null, 'kg');
  requireNumber('sugar_kg', sugar_kg, 0, null, 'kg');
  const both = requireNumber('ethanol_kg and water_kg', ethanol_kg + water_kg, 0, null, 'kg', true);
  const plain = (1000 * both) / densityKgM3((ethanol_kg / both) as Fraction, AT_20);
  return (plain + SUGAR_ROOM_L_KG * sugar_kg) as Litres;
}

/** Density of a plain sugar syrup at 20 °C. */
export function syrupDensityKgM3(sugar_mass_fraction: Fraction): KgM3 {
  const share = requireNumber('sugar_mass_fraction', sugar_mass_fraction, 0, 0.85, '(a fraction)');
  return SYRUP_COEFFICIENTS.reduceRight((total, coefficient) => total * share + coefficient, 0) as KgM3;
}

/** Sugar in a litre of plain syrup. */
export function syrupSugarGL(sugar_mass_fraction: Fraction): GramsPerLitre {
  return (syrupDensityKgM3(sugar_mass_fraction) * sugar_mass_fraction) as GramsPerLitre;
}

/** Masses of ethanol, water and sugar in a part, and its volume at 20 °C. */
export function massesOf(part: Part): Masses {
  const { sugar_g_l = NO_SUGAR, temp_c = AT_20 } = part;
  const strength = requireWithin('abv_pct', part.abv_pct, 'spirit_abv_pct') / 100;
  const sugar = requireWithin('sugar_g_l', sugar_g_l, 'sugar_g_l') / 1000;
  requireNumber('volume_l', part.volume_l, 0, null, 'L');
  requireNumber('temp_c', temp_c, -5, 40, 'degrees Celsius');
  const room = 1 - sugar * SUGAR_ROOM_L_KG;
  if (strength >= room) {
    const bound = `less than ${decimals(room * 100, 1)} % vol beside this much sugar`;
    throw new Inconsistent('abv_pct', strength * 100, bound);
  }
  const plain_pct = ((100 * strength) / room) as AbvPct;
  const volume = volumeAt20cL(part.volume_l, plain_pct, temp_c);
  const ethanol = (volume * strength * ethanolDensityKgM3()) / 1000;
  const dissolved = volume * sugar;
  let water: number;
  if (part.density_kg_m3 === undefined) {
    water = (volume * room * densityKgM3(massFractionFromAbvPct(plain_pct), AT_20)) / 1000 - ethanol;
  } else {
    const weighed = requireWithin('density_kg_m3', part.density_kg_m3, 'density_kg_m3');
    water = (volume * weighed) / 1000 - ethanol - dissolved;
    if (water < 0) {
      throw new Inconsistent('density_kg_m3', weighed, 'dense enough for the ethanol and sugar named');
    }
  }
  return {
    ethanol_kg: ethanol as Kilograms,
    // The difference of a part without water leaves a crumb of rounding.
    water_kg: (Math.abs(water) < 1e-12 ? 0 : water) as Kilograms,
    sugar_kg: dissolved as Kilograms,
    volume_20c_l: volume,
  };
}

/** Mixes parts by mass. */
export function blend(parts: readonly Part[]): Blend {
  if (parts.length === 0) throw new Underdetermined('parts', parts, 'at least one part');
  let [ethanol, water, sugar, poured] = [0, 0, 0, 0];
  for (const part of parts) {
    const masses = massesOf(part);
    ethanol += masses.ethanol_kg;
    water += masses.water_kg;
    sugar += masses.sugar_kg;
    poured += masses.volume_20c_l;
  }
  if (poured <= 0) throw new Underdetermined('volume_l', 0, 'at least one part with more than 0 L');
  const volume = volumeOfMassesL(ethanol as Kilograms, water as Kilograms, sugar as Kilograms);
  const mass = ethanol + water + sugar;
  return {
    volume_l: volume,
    abv_pct: ((100 * 1000 * ethanol) / (ethanolDensityKgM3() * volume)) as AbvPct,
    sugar_g_l: ((1000 * sugar) / volume) as GramsPerLitre,
    mass_kg: mass as Kilograms,
    contraction_l: (poured - volume) as Litres,
    ethanol_kg: ethanol as Kilograms,
    water_kg: water as Kilograms,
    sugar_kg: sugar as Kilograms,
    density_kg_m3: ((1000 * mass) / volume) as KgM3,
    mass_fraction: (ethanol / (ethanol + water)) as Fraction,
  };
}

/** Mass of water that brings a liquid down to a strength. Weigh it: volumes contract. */
export function waterToReachKg(
  volume_l: Litres,
  abv_pct: AbvPct,
  target_abv_pct: AbvPct,
  sugar_g_l: GramsPerLitre = NO_SUGAR,
): Kilograms {
  requireNumber('target_abv_pct', target_abv_pct, 0, 97, '% vol', true);
  const { ethanol_kg, water_kg, sugar_kg, volume_20c_l } = massesOf({ volume_l, abv_pct, sugar_g_l });
  if (target_abv_pct > abv_pct) {
    const bound = 'at most the strength of the liquid; water cannot raise it';
    throw new NoSolution('target_abv_pct', target_abv_pct, bound);
  }
  if (target_abv_pct === abv_pct) return 0 as Kilograms;
  const final = (volume_20c_l * abv_pct) / target_abv_pct;
  const plain = final - SUGAR_ROOM_L_KG * sugar_kg;
  const plain_pct = (plain > 0 ? (final * target_abv_pct) / plain : 0) as AbvPct;
  const total = (plain * densityKgM3(massFractionFromAbvPct(plain_pct), AT_20)) / 1000;
  return (total - ethanol_kg - water_kg) as Kilograms;
}

/** The same as a volume of water at 20 °C. */
export function waterToReachL(
  volume_l: Litres,
  abv_pct: AbvPct,
  target_abv_pct: AbvPct,
  sugar_g_l: GramsPerLitre = NO_SUGAR,
): Litres {
  return (waterToReachKg(volume_l, abv_pct, target_abv_pct, sugar_g_l) / WATER_KG_L) as Litres;
}

/** Scales every part by one factor so that the blend fills a volume. */
export function scaleToBarrel(parts: readonly Part[], volume_l: Litres): Part[] {
  const wanted = requireNumber('volume_l', volume_l, 0, null, 'L', true);
  const factor = wanted / blend(parts).volume_l;
  return parts.map((part) => ({ ...part, volume_l: (part.volume_l * factor) as Litres }));
}

/** What an alcoholmeter would wrongly show in a sweetened liquid at 20 °C. */
export function apparentAbvPct(abv_pct: AbvPct, sugar_g_l: GramsPerLitre): AbvPct {
  return abvPctFromDensity(blend([{ volume_l: 1 as Litres, abv_pct, sugar_g_l }]).density_kg_m3, AT_20);
}
