import { describe, expect, test } from 'vitest';
import {
  abvPctFromDensity,
  abvPctFromMassFraction,
  abvPctFromReading,
  abvPctFromUsProof,
  densityFromAbvKgM3,
  densityKgM3,
  massFractionFromAbvPct,
  massFractionFromDensity,
  massFractionFromInstrument,
  proofGallons,
  usProofFromAbvPct,
} from '~/science/alcoholometry.ts';
import { apparentAbvPct, blend, type Part, syrupDensityKgM3, waterToReachKg } from '~/science/blending.ts';
import { volumeFromWeightL, weightInAirKg } from '~/science/gauging.ts';
import { vapourPressureWaterKpa } from '~/science/holding.ts';
import { US_GALLON_L, US_REFERENCE_TEMP_C } from '~/science/tables.ts';
import {
  abvPct,
  celsius,
  fraction,
  gramsPerLitre,
  kgM3,
  kilograms,
  litres,
  usProof,
} from '~/science/units.ts';
import type { Args } from './phone-rooms.ts';
import { readChecks } from './vectors.ts';

// The rows name their sources: OIML R 22, 27 CFR part 30, USP 29, Perry's handbook, the 1913 measurements of the US
// Bureau of Standards, IAPWS SR1-86 and others. tests/science runs the same rows through the server's rooms.
const POUND_KG = 0.45359237;
const OUNCES_A_POUND = 16;
const AT_60F = celsius(US_REFERENCE_TEMP_C);
const AT_20 = celsius(20);

const temperature = (i: Args) => celsius(i.t_C ?? (i.t_F - 32) / 1.8);
const massPercent = (i: Args) => fraction(i.mass_percent / 100);
const strengthOfProof = (proof: number) => abvPctFromUsProof(usProof(proof));
const densityAt60f = (proof: number) => densityFromAbvKgM3(strengthOfProof(proof), AT_60F);
const gallonsPerPound = (density: number) =>
  volumeFromWeightL(kilograms(POUND_KG), kgM3(density)) / US_GALLON_L;
const pounds = (gallons: number, density: number) =>
  weightInAirKg(litres(gallons * US_GALLON_L), kgM3(density)) / POUND_KG;

/** Volumes of water in 100 volumes of spirit at 60 °F, with the spirit's alcohol. */
function partsOfWater(proof: number): number {
  const alcohol = (proof / 2) * densityKgM3(fraction(1), AT_60F);
  return (100 * densityAt60f(proof) - alcohol) / densityKgM3(fraction(0), AT_60F);
}

function reductionWater(i: Args): number {
  const ratio = i.from_proof / i.to_proof;
  return ((ratio * partsOfWater(i.to_proof) - partsOfWater(i.from_proof)) * i.per_gal) / 100;
}

function proofGallonsPerPound(proof: number): number {
  const strength = strengthOfProof(proof);
  return proofGallons(volumeFromWeightL(kilograms(POUND_KG), densityFromAbvKgM3(strength)), strength);
}

function specificGravity(i: Args, temp_c: number): number {
  const strength = strengthOfProof(2 * i['abv_15.56C_percent']);
  const spirit = weightInAirKg(litres(1), densityFromAbvKgM3(strength, celsius(temp_c)));
  return spirit / weightInAirKg(litres(1), densityKgM3(fraction(0), celsius(temp_c)));
}

function fillWeight(i: Args): number {
  const exact = pounds(i.gal_60F, densityAt60f(i.proof));
  return Math.ceil(exact * OUNCES_A_POUND - 1e-9) / OUNCES_A_POUND;
}

function mixture(i: Args) {
  return blend(
    i.ingredients.map(
      (row: Args): Part => ({
        volume_l: litres(row.volume20_L),
        abv_pct: abvPct(row.abv_percent),
        sugar_g_l: gramsPerLitre(row.sugar_g_L),
      }),
    ),
  );
}

function reduced(i: Args): { water: number; volume: number } {
  const spirit: Part = { volume_l: litres(i.volume20_L), abv_pct: abvPct(i.from_abv_percent) };
  const water = waterToReachKg(spirit.volume_l, spirit.abv_pct, abvPct(i.to_abv_percent));
  const poured: Part = { volume_l: litres(water / 0.99820123), abv_pct: abvPct(0) };
  return { water, volume: blend([spirit, poured]).volume_l };
}

function obscuration(i: Args): number {
  const strength = abvPct(i.true_abv20_percent);
  const apparent = apparentAbvPct(strength, gramsPerLitre(10 * i.solids_g_per_100ml));
  return usProofFromAbvPct(strength) - usProofFromAbvPct(apparent);
}

function dilutionWater(i: Args): number {
  const mixed = mixture(i);
  return waterToReachKg(mixed.volume_l, mixed.abv_pct, abvPct(i.to_abv_percent), mixed.sugar_g_l);
}

function sucroseDensity(i: Args): number {
  const [percent] = Object.entries(i).filter(([name]) => name.includes('percent'));
  return syrupDensityKgM3(fraction(percent![1] / 100));
}

const instrument = (i: Args) => massFractionFromInstrument(kgM3(i.reading_density20_kg_m3), temperature(i));

const SERVED: Record<string, (i: Args) => number> = {
  density_from_mass_strength: (i) => densityKgM3(massPercent(i), temperature(i)),
  density_from_abv: (i) => densityFromAbvKgM3(i.abv20_percent, temperature(i)),
  abv_from_mass_strength: (i) => abvPctFromMassFraction(massPercent(i)),
  mass_strength_from_abv: (i) => 100 * massFractionFromAbvPct(i.abv20_percent),
  mass_strength_from_density20: (i) => 100 * massFractionFromDensity(i.density20_kg_m3, AT_20),
  abv_from_density20: (i) => abvPctFromDensity(i.density20_kg_m3),
  mass_strength_from_alcoholmeter: (i) =>
    100 *
    massFractionFromInstrument(densityKgM3(fraction(i.reading_mass_percent / 100), AT_20), temperature(i)),
  abv_from_alcoholmeter: (i) => abvPctFromReading(i.reading_abv_percent, temperature(i)),
  mass_strength_from_hydrometer: (i) => 100 * instrument(i),
  abv_from_hydrometer: (i) => abvPctFromMassFraction(instrument(i)),
  mass_strength_from_abv60F: (i) =>
    100 * massFractionFromAbvPct(strengthOfProof(2 * i['abv_15.56C_percent'])),
  abv60F_from_mass_strength: (i) => usProofFromAbvPct(abvPctFromMassFraction(massPercent(i))) / 2,
  'specific_gravity_air_15.56_15.56': (i) => specificGravity(i, US_REFERENCE_TEMP_C),
  specific_gravity_air_25_25: (i) => specificGravity(i, 25),
  us_table6_parts_water: (i) => partsOfWater(i.proof),
  us_reduction_water: reductionWater,
  us_reduction_water_by_weight: (i) =>
    (i.spirit_lb_in_air * proofGallonsPerPound(i.from_proof)) / proofGallonsPerPound(i.to_proof) -
    i.spirit_lb_in_air,
  us_gal_per_lb: (i) => gallonsPerPound(densityAt60f(i.proof)),
  us_proof_gal_per_lb: (i) => proofGallonsPerPound(i.proof),
  us_proof_gal_from_weight: (i) => i.lb_in_air * proofGallonsPerPound(i.proof),
  us_fill_weight_rounded_up_to_ounce: fillWeight,
  us_true_proof: (i) =>
    usProofFromAbvPct(abvPctFromReading(abvPct(i.hydrometer_proof / 2), temperature(i), AT_60F)),
  us_volume_factor_to_60F: (i) =>
    densityFromAbvKgM3(strengthOfProof(i.proof), temperature(i)) / densityAt60f(i.proof),
  us_water_weight: (i) => pounds(1, densityKgM3(fraction(0), temperature(i))),
  us_gal_per_lb_water: (i) => gallonsPerPound(densityKgM3(fraction(0), temperature(i))),
  obscuration_proof: obscuration,
  reduction_water_kg: (i) => reduced(i).water,
  reduction_final_volume20_L: (i) => reduced(i).volume,
  blend_volume20_L: (i) => mixture(i).volume_l,
  blend_abv20_percent: (i) => mixture(i).abv_pct,
  blend_sugar_g_L: (i) => mixture(i).sugar_g_l,
  blend_density_kg_m3: (i) => mixture(i).density_kg_m3,
  blend_density20_kg_m3: (i) => mixture(i).density_kg_m3,
  blend_mass_kg: (i) => mixture(i).mass_kg,
  blend_dilution_water_kg: dilutionWater,
  sucrose_density: sucroseDensity,
  sucrose_density20: sucroseDensity,
};

interface StrengthRow {
  id: string;
  quantity: string;
  inputs: Args;
  expected: number;
  tolerance_test: number;
}

describe('alcoholometry_checks.json', () => {
  const { rows } = readChecks('alcoholometry_checks.json') as { rows: StrengthRow[] };

  test('the phone serves every quantity of the file', () => {
    expect(rows.filter((row) => !SERVED[row.quantity]).map((row) => row.quantity)).toEqual([]);
  });

  test.each(rows.map((row) => [row.id, row] as const))('it meets row %s', (_, row) => {
    const away = Math.abs(SERVED[row.quantity]!(row.inputs) - row.expected);
    expect(away).toBeLessThanOrEqual(row.tolerance_test);
  });
});

describe('ageing_checks.json', () => {
  const { checks } = readChecks('ageing_checks.json') as { checks: Args[] };
  const rows = checks.filter((row) => row.fn === 'psat_water_kPa');

  test('it holds rows of the vapour pressure of water', () => {
    expect(rows.length).toBeGreaterThan(0);
  });

  test.each(rows.map((row) => [row.id as string, row] as const))('it meets row %s', (_, row) => {
    const away = Math.abs(vapourPressureWaterKpa(row.args.t_c) - row.expect);
    expect(away).toBeLessThanOrEqual(row.rtol * row.expect);
  });
});
