/**
 * Density and strength of mixtures of ethanol and water, and the correction of an alcoholmeter's reading.
 * Source: OIML R 22, International Alcoholometric Tables, 1975; 27 CFR 30.11 for US proof. The formulas, ranges and
 * uncertainties stand in docs/science/alcoholometry.md.
 */

import { densityAndSlope, fractionOfDensity, massFractionAt, strengthAt } from './density-formula.ts';
import { Inconsistent, requireNumber, requireWithin } from './errors.ts';
import {
  READABLE_SUGAR_G_L,
  REFERENCE_TEMP_C,
  SODA_LIME_GLASS_PER_C,
  US_GALLON_L,
  US_REFERENCE_TEMP_C,
} from './tables.ts';
import type { AbvPct, Celsius, Fraction, Grams, GramsPerLitre, KgM3, Litres, UsProof } from './units.ts';

const AT_20 = REFERENCE_TEMP_C as Celsius;
const AT_60F = US_REFERENCE_TEMP_C as Celsius;

function strength(argument: string, value: number): number {
  return requireNumber(argument, value, 0, 100, '% vol') / 100;
}

/** Density of pure ethanol at a temperature. */
export function ethanolDensityKgM3(temp_c: Celsius = AT_20): KgM3 {
  return densityAndSlope(1, requireWithin('temp_c', temp_c, 'temp_c')).density as KgM3;
}

/** Density in vacuo of a mixture, from its ethanol by mass. */
export function densityKgM3(mass_fraction: Fraction, temp_c: Celsius): KgM3 {
  requireNumber('mass_fraction', mass_fraction, 0, 1, '(a fraction)');
  requireWithin('temp_c', temp_c, 'temp_c');
  return densityAndSlope(mass_fraction, temp_c).density as KgM3;
}

export function abvPctFromMassFraction(mass_fraction: Fraction): AbvPct {
  requireNumber('mass_fraction', mass_fraction, 0, 1, '(a fraction)');
  return (100 * strengthAt(mass_fraction, AT_20)) as AbvPct;
}

export function massFractionFromAbvPct(abv_pct: AbvPct): Fraction {
  return massFractionAt(strength('abv_pct', abv_pct), AT_20) as Fraction;
}

/** Density of an unsweetened spirit at a temperature. */
export function densityFromAbvKgM3(abv_pct: AbvPct, temp_c: Celsius = AT_20): KgM3 {
  return densityKgM3(massFractionFromAbvPct(abv_pct), temp_c);
}

export function massFractionFromDensity(density_kg_m3: KgM3, temp_c: Celsius): Fraction {
  requireWithin('density_kg_m3', density_kg_m3, 'density_kg_m3');
  requireWithin('temp_c', temp_c, 'temp_c');
  return fractionOfDensity(density_kg_m3, temp_c) as Fraction;
}

/** Strength of an unsweetened spirit from its density. Never for a sweetened liquid: sugar hides strength. */
export function abvPctFromDensity(density_kg_m3: KgM3, temp_c: Celsius = AT_20): AbvPct {
  return abvPctFromMassFraction(massFractionFromDensity(density_kg_m3, temp_c));
}

/** Mass fraction from the density mark that a glass instrument floats at, away from its own temperature. */
export function massFractionFromInstrument(
  density_mark_kg_m3: KgM3,
  temp_c: Celsius,
  calibrated_c: Celsius = AT_20,
): Fraction {
  requireWithin('density_mark_kg_m3', density_mark_kg_m3, 'density_kg_m3');
  requireWithin('temp_c', temp_c, 'temp_c');
  requireWithin('calibrated_c', calibrated_c, 'temp_c');
  const density = density_mark_kg_m3 * (1 - SODA_LIME_GLASS_PER_C * (temp_c - calibrated_c));
  return fractionOfDensity(density, temp_c) as Fraction;
}

/** Corrects the reading of a glass alcoholmeter to true strength at 20 °C. For clear unsweetened spirit only. */
export function abvPctFromReading(
  apparent_pct: AbvPct,
  temp_c: Celsius,
  calibrated_c: Celsius = AT_20,
  sugar_g_l = 0 as GramsPerLitre,
): AbvPct {
  const apparent = strength('apparent_pct', apparent_pct);
  requireWithin('sugar_g_l', sugar_g_l, 'sugar_g_l');
  if (sugar_g_l > READABLE_SUGAR_G_L) {
    const bound = `at most ${READABLE_SUGAR_G_L} g/L for a reading: sugar hides strength`;
    throw new Inconsistent('sugar_g_l', sugar_g_l, bound);
  }
  requireWithin('calibrated_c', calibrated_c, 'temp_c');
  const mark = densityAndSlope(massFractionAt(apparent, calibrated_c), calibrated_c).density as KgM3;
  return abvPctFromMassFraction(massFractionFromInstrument(mark, temp_c, calibrated_c));
}

/** US proof: twice the strength by volume at 60 °F. */
export function usProofFromAbvPct(abv_pct: AbvPct): UsProof {
  return (200 * strengthAt(massFractionFromAbvPct(abv_pct), AT_60F)) as UsProof;
}

export function abvPctFromUsProof(proof: UsProof): AbvPct {
  const at60f = requireNumber('proof', proof, 0, 200, 'proof') / 200;
  return abvPctFromMassFraction(massFractionAt(at60f, AT_60F) as Fraction);
}

/** Litres of pure alcohol: volume times strength, both at 20 °C. */
export function pureAlcoholL(volume_l: Litres, abv_pct: AbvPct): Litres {
  requireNumber('volume_l', volume_l, 0, null, 'L');
  requireNumber('abv_pct', abv_pct, 0, 100, '% vol');
  return ((volume_l * abv_pct) / 100) as Litres;
}

export function ethanolG(volume_l: Litres, abv_pct: AbvPct): Grams {
  return (pureAlcoholL(volume_l, abv_pct) * ethanolDensityKgM3()) as Grams;
}

/** US proof gallons: gallons at 60 °F times proof over 100. */
export function proofGallons(volume_l: Litres, abv_pct: AbvPct): number {
  requireNumber('volume_l', volume_l, 0, null, 'L');
  const p = massFractionFromAbvPct(abv_pct);
  const shrink = densityKgM3(p, AT_20) / densityKgM3(p, AT_60F);
  return (((volume_l * shrink) / US_GALLON_L) * usProofFromAbvPct(abv_pct)) / 100;
}

/** How many standard drinks a volume holds, for a country's grams of ethanol in one. */
export function standardDrinks(volume_l: Litres, abv_pct: AbvPct, grams: Grams): number {
  requireNumber('grams', grams, 1, 50, 'g');
  return ethanolG(volume_l, abv_pct) / grams;
}
