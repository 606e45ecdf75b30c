import * as alcoholometry from '~/science/alcoholometry.ts';
import * as blending from '~/science/blending.ts';
import * as bottles from '~/science/bottles.ts';
import * as curing from '~/science/curing.ts';
import * as gauging from '~/science/gauging.ts';
import * as geometry from '~/science/geometry.ts';
import * as guards from '~/science/guards.ts';
import * as holding from '~/science/holding.ts';
import { divideBottles } from '~/science/sharing.ts';
import * as soaking from '~/science/soaking.ts';

// Arguments come from JSON, named as the server's rooms name them; what a row leaves out stays undefined.
// biome-ignore lint/suspicious/noExplicitAny: JSON has no units, and the brands are checked in units.test.ts.
export type Args = Record<string, any>;

const NOT_FINITE: Record<string, number> = {
  nan: Number.NaN,
  inf: Number.POSITIVE_INFINITY,
  '-inf': Number.NEGATIVE_INFINITY,
};

/** Turns the words for what is not finite into numbers. */
export function read(args: Args): Args {
  const entries = Object.entries(args).map(([name, value]) => [name, NOT_FINITE[String(value)] ?? value]);
  return Object.fromEntries(entries);
}

function measures(shape: geometry.BarrelShape): Args {
  const { curve: _curve, profile: _profile, weighed_capacity_l: _weighed, ...figures } = shape;
  return figures;
}

function mixGuards({ abv_pct, ...circumstances }: Args): guards.Guard[] {
  return guards.mixGuards(abv_pct, circumstances);
}

function rotation({ barrel, dip_cm, overlap_deg }: Args): Args {
  return geometry.rotationPlan(geometry.barrelShape(barrel), dip_cm, overlap_deg);
}

export const ROOMS: Record<string, (args: Args) => unknown> = {
  density_kg_m3: (a) => alcoholometry.densityKgM3(a.mass_fraction, a.temp_c),
  abv_pct_from_mass_fraction: (a) => alcoholometry.abvPctFromMassFraction(a.mass_fraction),
  mass_fraction_from_abv_pct: (a) => alcoholometry.massFractionFromAbvPct(a.abv_pct),
  density_from_abv_kg_m3: (a) => alcoholometry.densityFromAbvKgM3(a.abv_pct, a.temp_c),
  mass_fraction_from_density: (a) => alcoholometry.massFractionFromDensity(a.density_kg_m3, a.temp_c),
  abv_pct_from_density: (a) => alcoholometry.abvPctFromDensity(a.density_kg_m3, a.temp_c),
  mass_fraction_from_instrument: (a) =>
    alcoholometry.massFractionFromInstrument(a.density_mark_kg_m3, a.temp_c, a.calibrated_c),
  abv_pct_from_reading: (a) =>
    alcoholometry.abvPctFromReading(a.apparent_pct, a.temp_c, a.calibrated_c, a.sugar_g_l),
  us_proof_from_abv_pct: (a) => alcoholometry.usProofFromAbvPct(a.abv_pct),
  abv_pct_from_us_proof: (a) => alcoholometry.abvPctFromUsProof(a.proof),
  pure_alcohol_l: (a) => alcoholometry.pureAlcoholL(a.volume_l, a.abv_pct),
  ethanol_g: (a) => alcoholometry.ethanolG(a.volume_l, a.abv_pct),
  proof_gallons: (a) => alcoholometry.proofGallons(a.volume_l, a.abv_pct),
  standard_drinks: (a) => alcoholometry.standardDrinks(a.volume_l, a.abv_pct, a.grams),
  volume_at_20c_l: (a) => gauging.volumeAt20cL(a.volume_l, a.abv_pct, a.temp_c, a.steel_measure),
  volume_from_weight_l: (a) => gauging.volumeFromWeightL(a.weight_kg, a.density_20c_kg_m3),
  weight_in_air_kg: (a) => gauging.weightInAirKg(a.volume_l, a.density_kg_m3),
  volume_of_masses_l: (a) => blending.volumeOfMassesL(a.ethanol_kg, a.water_kg, a.sugar_kg),
  syrup_density_kg_m3: (a) => blending.syrupDensityKgM3(a.sugar_mass_fraction),
  syrup_sugar_g_l: (a) => blending.syrupSugarGL(a.sugar_mass_fraction),
  water_to_reach_kg: (a) => blending.waterToReachKg(a.volume_l, a.abv_pct, a.target_abv_pct, a.sugar_g_l),
  water_to_reach_l: (a) => blending.waterToReachL(a.volume_l, a.abv_pct, a.target_abv_pct, a.sugar_g_l),
  apparent_abv_pct: (a) => blending.apparentAbvPct(a.abv_pct, a.sugar_g_l),
  masses_of: ({ part }) => {
    const masses = blending.massesOf(part);
    return [masses.ethanol_kg, masses.water_kg, masses.sugar_kg, masses.volume_20c_l];
  },
  blend: (a) => blending.blend(a.parts),
  scale_to_barrel: (a) => blending.scaleToBarrel(a.parts, a.volume_l).map((part) => part.volume_l),
  soaked_l: (a) => soaking.soakedL(a.days, a.area_m2, a.stave_mm, a.wood_state),
  plan_fill: ({ parts, ...wish }) => {
    const plan = soaking.planFill(parts, wish as soaking.FillWish);
    return { ...plan, parts: plan.parts.map((part) => part.volume_l) };
  },
  mix_guards: mixGuards,
  flash_point_c: (a) => guards.flashPointC(a.abv_pct),
  barrel: ({ barrel }) => {
    const shape = geometry.barrelShape(barrel);
    return {
      ...measures(shape),
      half_mark_cm: holding.halfMarkCm(shape),
      lowest_mark_cm: holding.lowestMarkCm(shape),
      capacity_uncertainty: geometry.capacityUncertainty(shape),
      own_capacity_uncertainty: geometry.capacityUncertainty(
        shape,
        0.2 as geometry.BarrelShape['length_cm'],
        0.3 as geometry.BarrelShape['length_cm'],
        0.4 as geometry.BarrelShape['length_cm'],
        0.01 as geometry.WettedArea['fraction'],
      ),
    };
  },
  from_capacity: (a) => measures(geometry.shapeFromCapacity(a.capacity_l, a.profile)),
  from_outside: (a) => measures(geometry.shapeFromOutside(a as geometry.OutsideMeasures)),
  lying: ({ barrel, dip_cm }) => {
    const shape = geometry.barrelShape(barrel);
    return {
      volume_l: geometry.volumeAtDipL(shape, dip_cm),
      surface_cm2: geometry.surfaceAtDipCm2(shape, dip_cm),
      wetted: geometry.wettedAtDip(shape, dip_cm),
    };
  },
  standing: ({ barrel, depth_cm }) => {
    const shape = geometry.barrelShape(barrel);
    return {
      volume_l: geometry.standingVolumeL(shape, depth_cm),
      wetted: geometry.wettedStanding(shape, depth_cm),
    };
  },
  levels: ({ barrel, share }) => {
    const shape = geometry.barrelShape(barrel);
    const volume = (share * shape.capacity_l) as geometry.BarrelShape['capacity_l'];
    return {
      dip_cm: geometry.dipAtVolumeCm(shape, volume),
      depth_cm: geometry.standingDepthCm(shape, volume),
      wetted_cm2: geometry.wettedAreaCm2(shape, volume),
    };
  },
  rotation_plan: rotation,
  level_fraction: (a) =>
    geometry.levelFraction(a.volume_fraction, a.head_to_bilge, a.length_to_bilge, a.profile),
  vapour_pressure_water_kpa: (a) => holding.vapourPressureWaterKpa(a.temp_c),
  usual_wood_area_m2: (a) => holding.usualWoodAreaM2(a.capacity_l),
  usual_stave_mm: (a) => holding.usualStaveMm(a.capacity_l),
  water_level_now: ({ days, k_spread, leak_spread, ...hold }) =>
    holding.waterLevelNow(hold as holding.HoldThrough, days, { k_spread, leak_spread }),
  top_up_due: ({ at_fraction, k_spread, leak_spread, ...hold }) =>
    holding.topUpDue(hold as holding.Hold, at_fraction, { k_spread, leak_spread }),
  holding_solution: (a) => holding.holdingSolution(a.volume_l, a.citric_g_l, a.metabisulphite_g_l),
  active_so2_share: (a) => holding.activeSo2Share(a.ph),
  so2_carried_mg_l: (a) => holding.so2CarriedMgL(a.total_so2_mg_l, a.carried_fraction),
  bottle_count: (a) => bottles.bottleCount(a.volume_l, a.fill_l, a.loss_l),
  headspace_fill_ml: (a) => bottles.headspaceFillMl(a.bottle_ml, a.headspace_fraction),
  keeping_days: (a) =>
    bottles.keepingDays(a.headspace_fraction, a.abv_pct, { is_wine_based: a.is_wine_based }),
  neck_depth_mm: (a) => bottles.neckDepthMm(a.headspace_ml, a.bore_mm),
  headspace_oxygen_mg_l: (a) => bottles.headspaceOxygenMgL(a.headspace_fraction, a.temp_c, a.pressure_kpa),
  expected_drink: (a) =>
    curing.expectedDrink(a.from_h, a.to_h, a.temp_c, a.rh_fraction, a.area_m2, a.stave_mm, a.wood_state),
  tightness: ({ intervals, inner_area_dm2, dry_joint_h, ...options }) =>
    curing.tightness(intervals, inner_area_dm2, dry_joint_h, options),
  divide_bottles: (a) => divideBottles(a.shares, a.bottles, a.tie_order),
};
