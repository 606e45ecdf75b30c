import { describe, expect, test } from 'vitest';
import { bottleCount, headspaceOxygenMgL } from '~/science/bottles.ts';
import {
  type BarrelProfile,
  type BarrelShape,
  barrelShape,
  capacityUncertainty,
  dipAtVolumeCm,
  rotationPlan,
  shapeFromCapacity,
  shapeFromOutside,
  standingVolumeL,
  surfaceAtDipCm2,
  volumeAtDipL,
  type WettedArea,
  wettedAtDip,
  wettedStanding,
} from '~/science/geometry.ts';
import { holdingSolution } from '~/science/holding.ts';
import { divideBottles } from '~/science/sharing.ts';
import { centimetres, litres } from '~/science/units.ts';
import type { Args } from './phone-rooms.ts';
import { readChecks } from './vectors.ts';

// The rows name their sources: gauging manuals of the eighteenth and nineteenth century, OEIS A179377, closed forms,
// and rules of this project. tests/science runs the same rows through the server's rooms.
const INCH_CM = 2.54;
const CM_IN: Record<string, number> = { mm: 0.1, cm: 1, m: 100, in: INCH_CM, ft: 12 * INCH_CM };
const L_IN: Record<string, number> = {
  mL: 1e-3,
  cm3: 1e-3,
  L: 1,
  m3: 1e3,
  in3: INCH_CM ** 3 / 1e3,
  'US gal (231 in3)': (231 * INCH_CM ** 3) / 1e3,
  'ale gal (282 in3)': (282 * INCH_CM ** 3) / 1e3,
  'imp gal (277.274 in3)': (277.274 * INCH_CM ** 3) / 1e3,
};
const CM2_IN: Record<string, number> = { mm2: 0.01, cm2: 1, dm2: 100, m2: 1e4, in2: INCH_CM ** 2 };
const PROFILES: Record<string, BarrelProfile> = {
  parabolic: 'parabolic',
  spheroid: 'spheroid',
  circular_arc: 'circular_arc',
  paraboloid2: 'paraboloids',
  cone2: 'cones',
  cylinder: 'cylinder',
};

const cm = (quantity: Args) => centimetres(quantity.value * CM_IN[quantity.unit]!);
const l = (quantity: Args) => litres(quantity.value * L_IN[quantity.unit]!);
const asVolume = (value_l: number, expected: Args) => value_l / L_IN[expected.unit]!;
const asArea = (value_cm2: number, expected: Args | undefined) =>
  value_cm2 / CM2_IN[expected?.unit ?? 'cm2']!;

function shapeOf(i: Args): BarrelShape {
  return barrelShape({
    head_diameter_cm: cm(i.d),
    bilge_diameter_cm: cm(i.D),
    length_cm: cm(i.L ?? i.D),
    profile: PROFILES[i.shape ?? 'parabolic']!,
  });
}

function outsideToInside(i: Args, expected: Args): Args {
  const inside = shapeFromOutside({
    head_diameter_cm: cm(i.d_out_end),
    bilge_diameter_cm: cm(i.D_out),
    length_cm: cm(i.L_out),
    stave_cm: cm(i.stave),
    chime_cm: cm(i.chime),
    head_thickness_cm: cm(i.head_thickness),
    tapered: i.method === 'taper',
  });
  return {
    D: inside.bilge_diameter_cm / CM_IN[expected.D.unit]!,
    d: inside.head_diameter_cm / CM_IN[expected.d.unit]!,
    L: inside.length_cm / CM_IN[expected.L.unit]!,
    ...(expected.capacity_parabolic
      ? { capacity_parabolic: asVolume(inside.capacity_l, expected.capacity_parabolic) }
      : {}),
  };
}

function innerArea(i: Args, expected: Args): Args {
  const shape = shapeOf(i);
  const reference = barrelShape({
    head_diameter_cm: centimetres(48.4),
    bilge_diameter_cm: centimetres(61.2),
    length_cm: centimetres(78.2),
  });
  const got: Args = {
    side: asArea(shape.side_area_cm2, expected.side),
    total: asArea(shape.wood_area_cm2, expected.total),
    heads: asArea(shape.head_area_cm2, expected.heads),
    area_per_volume: shape.area_to_volume_cm2_per_l,
    ratio_to_200L: shape.area_to_volume_cm2_per_l / reference.area_to_volume_cm2_per_l,
  };
  return only(got, expected);
}

function only(got: Args, expected: Args): Args {
  return Object.fromEntries(Object.keys(expected).map((name) => [name, got[name]]));
}

function lyingVolume(i: Args, expected: Args): Args {
  const shape = shapeOf(i);
  const volume = volumeAtDipL(shape, cm(i.h));
  const share = volume / shape.capacity_l;
  if (i.content) return { value: share * i.content.value };
  if ('value' in expected) return { value: asVolume(volume, expected) };
  return {
    fraction: share,
    ...(expected.volume ? { volume: asVolume(volume, expected.volume) } : {}),
  };
}

function standingVolume(i: Args, expected: Args): Args {
  const shape = shapeOf(i);
  const volume = standingVolumeL(shape, cm(i.z));
  if ('value' in expected) return { value: asVolume(volume, expected) };
  return { volume: asVolume(volume, expected.volume), fraction: volume / shape.capacity_l };
}

function wetted(area: WettedArea, expected: Args): Args {
  const got: Args = {
    side: asArea(area.side_cm2, expected.side),
    heads: asArea(area.heads_cm2, expected.heads),
    total: asArea(area.total_cm2, expected.total),
    fraction: area.fraction,
  };
  return only(got, expected);
}

function rotation(i: Args): Args {
  const plan = rotationPlan(shapeOf(i), cm(i.h), i.overlap_each_edge.value);
  return { narrowest_wet_arc: plan.narrowest_wet_arc_deg, positions: plan.positions, step: plan.step_deg };
}

function largestRemainder(i: Args, expected: Args): Args {
  const { bottles, tied } = divideBottles(i.shares, i.bottles);
  return only({ allocation: bottles, tie: tied.length > 0 }, expected);
}

function bottles(i: Args, expected: Args): Args {
  const counted = bottleCount(l(i.volume), l(i.fill), l(i.loss));
  return { bottles: counted.bottles, remainder: asVolume(counted.remainder_l, expected.remainder) };
}

function solution(i: Args): Args {
  const doses = holdingSolution(l(i.volume), i.citric.value, i.kmbs.value);
  return {
    citric_acid: doses.citric_acid_g,
    kmbs: doses.metabisulphite_g,
    total_so2: doses.total_so2_mg_l,
  };
}

const SERVED: Record<string, (i: Args, expected: Args) => Args> = {
  capacity: (i, expected) => ({ value: asVolume(shapeOf(i).capacity_l, expected) }),
  capacity_uncertainty: (i) => ({
    value: capacityUncertainty(shapeOf(i), cm(i.u_D), cm(i.u_d), cm(i.u_L), i.u_shape_rel.value),
  }),
  outside_to_inside: outsideToInside,
  side_area: (i, expected) => ({ value: asArea(shapeOf(i).side_area_cm2, expected) }),
  inner_area: innerArea,
  area_ratio_similar: (i) => ({
    value:
      shapeFromCapacity(l(i.capacity)).area_to_volume_cm2_per_l /
      shapeFromCapacity(l(i.reference)).area_to_volume_cm2_per_l,
  }),
  lying_volume: lyingVolume,
  lying_depth: (i, expected) => ({
    value: dipAtVolumeCm(shapeOf(i), l(i.volume)) / CM_IN[expected.unit]!,
  }),
  lying_surface_half: (i, expected) => {
    const shape = shapeOf(i);
    return { value: asArea(surfaceAtDipCm2(shape, centimetres(shape.bilge_diameter_cm / 2)), expected) };
  },
  standing_volume: standingVolume,
  wetted_area_lying: (i, expected) => wetted(wettedAtDip(shapeOf(i), cm(i.h)), expected),
  wetted_area_standing: (i, expected) => wetted(wettedStanding(shapeOf(i), cm(i.z)), expected),
  rotation_plan: rotation,
  largest_remainder: largestRemainder,
  bottle_count: bottles,
  headspace_oxygen: (i) => ({
    value: headspaceOxygenMgL(i.headspace_fraction.value, i.temperature.value, i.pressure.value),
  }),
  holding_solution: solution,
};
// Old rules for casks stand in the server's books, and a curing is judged there.
const NOT_ON_THE_PHONE = [
  'capacity_diagonal',
  'capacity_four_dimensions',
  'capacity_general_three',
  'capacity_mean_diameter',
  'leak_decision',
  'legacy_ullage_lying',
  'legacy_ullage_standing',
  'standing_frustum',
];

interface GeometryRow {
  id: string;
  kind: string;
  inputs: Args;
  expected: Args;
  tolerance: { abs?: number; rel?: number };
}

describe('geometry_checks.json', () => {
  const { rows } = readChecks('geometry_checks.json') as { rows: GeometryRow[] };

  test('every kind is served, or is named as not on the phone', () => {
    const kinds = [...new Set(rows.map((row) => row.kind))];
    const unserved = kinds.filter((kind) => !SERVED[kind]).sort();
    expect(unserved.filter((kind) => !NOT_ON_THE_PHONE.includes(kind))).toEqual([]);
    // Another set may leave kinds out; our own has them all.
    if (!process.env.STAVEWARD_VECTORS) {
      expect(unserved).toEqual(NOT_ON_THE_PHONE);
      expect(kinds.length).toBe(Object.keys(SERVED).length + NOT_ON_THE_PHONE.length);
    }
  });

  const served = rows.filter((row) => SERVED[row.kind]);
  test.each(served.map((row) => [row.id, row] as const))('it meets row %s', (_, row) => {
    const expected: Args = 'value' in row.expected ? { value: row.expected } : row.expected;
    const got = SERVED[row.kind]!(row.inputs, row.expected);
    expect(Object.keys(got).sort()).toEqual(Object.keys(expected).sort());
    for (const [name, { value }] of Object.entries(expected)) {
      if (typeof value !== 'number') expect(got[name]).toEqual(value);
      else {
        const allowed = row.tolerance.abs ?? (row.tolerance.rel ?? 0) * Math.abs(value);
        expect(Math.abs(got[name] - value), name).toBeLessThanOrEqual(allowed);
      }
    }
  });
});
