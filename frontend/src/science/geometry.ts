/**
 * The inside of a barrel: capacity, level both ways, wetted wood and how to turn it. All measures are inside measures;
 * a weighed capacity overrides the tape, and the shape then gives shares only. Formulas, sources and uncertainty stand
 * in docs/science/geometry.md.
 */

import {
  asCosine,
  type BarrelProfile,
  CM3_PER_L,
  integral,
  levelFor,
  lyingVolumeAndSurface,
  radius,
  radiusTimesSlope,
  type StaveCurve,
  staveCurve,
  whereRadiusIs,
  wholeVolume,
} from './barrel-curve.ts';
import { Inconsistent, OutOfRange, requireChoice, requireNumber, sixDigits } from './errors.ts';
import {
  BARREL_PROFILES,
  LARGEST_MEASURE_CM,
  REFERENCE_BILGE_CM,
  REFERENCE_HEAD_CM,
  REFERENCE_LENGTH_CM,
} from './tables.ts';
import type { Centimetres, Degrees, Fraction, Litres, SquareCentimetres } from './units.ts';

export type { BarrelProfile } from './barrel-curve.ts';

/** Inside measures as a tape gives them; parabolic and not weighed when silent. */
export interface Measures {
  head_diameter_cm: Centimetres;
  bilge_diameter_cm: Centimetres;
  length_cm: Centimetres;
  profile?: BarrelProfile;
  weighed_capacity_l?: Litres | null;
}

/** A barrel whose measures were checked, with what follows from them without a level. */
export interface BarrelShape extends Measures {
  profile: BarrelProfile;
  weighed_capacity_l: Litres | null;
  curve: StaveCurve;
  /** Capacity that the measures alone make. */
  shape_capacity_l: Litres;
  /** Capacity: weighed if it was, else from the measures. */
  capacity_l: Litres;
  side_area_cm2: SquareCentimetres;
  head_area_cm2: SquareCentimetres;
  wood_area_cm2: SquareCentimetres;
  area_to_volume_cm2_per_l: number;
}

/** The wood that the liquid touches, and its share of all inner wood. */
export interface WettedArea {
  side_cm2: SquareCentimetres;
  heads_cm2: SquareCentimetres;
  total_cm2: SquareCentimetres;
  fraction: Fraction;
}

/** How to turn a lying barrel so that all its wood is wetted in turn; null when the level is too low for it. */
export interface RotationPlan {
  narrowest_wet_arc_deg: Degrees;
  positions: number | null;
  step_deg: Degrees | null;
  longest_dry_periods: number | null;
  /** Where the bung points in each position, 12 being up. */
  clock_positions: number[];
}

/** Checks measures and gives the barrel they make. */
export function barrelShape(measures: Measures): BarrelShape {
  const { head_diameter_cm: head, bilge_diameter_cm: bilge, length_cm: length } = measures;
  const weighed = measures.weighed_capacity_l ?? null;
  const profile = requireChoice('profile', measures.profile ?? 'parabolic', BARREL_PROFILES);
  requireNumber('bilge_diameter_cm', bilge, 0, LARGEST_MEASURE_CM, 'cm', true);
  requireNumber('head_diameter_cm', head, 0, LARGEST_MEASURE_CM, 'cm');
  requireNumber('length_cm', length, 0, LARGEST_MEASURE_CM, 'cm', true);
  if (head > bilge) {
    throw new OutOfRange('head_diameter_cm', head, `at most the bung diameter, ${sixDigits(bilge)} cm`);
  }
  if (profile === 'cylinder' && head !== bilge) {
    const bound = `the bung diameter, ${sixDigits(bilge)} cm, for a cylinder`;
    throw new Inconsistent('head_diameter_cm', head, bound);
  }
  if (profile === 'circular_arc' && bilge - head > length) {
    const bound = `at least ${sixDigits(bilge - head)} cm for a circular arc`;
    throw new Inconsistent('length_cm', length, bound);
  }
  if (weighed !== null) requireNumber('weighed_capacity_l', weighed, 0, null, 'L', true);

  const curve = staveCurve(head / 2, bilge / 2, length / 2, profile);
  const shape_capacity_l = (wholeVolume(curve) / CM3_PER_L) as Litres;
  const capacity_l = weighed ?? shape_capacity_l;
  const side = 2 * sideArea(curve, 0, curve.half);
  const heads = (Math.PI * head ** 2) / 2;
  return {
    head_diameter_cm: head,
    bilge_diameter_cm: bilge,
    length_cm: length,
    profile,
    weighed_capacity_l: weighed,
    curve,
    shape_capacity_l,
    capacity_l,
    side_area_cm2: side as SquareCentimetres,
    head_area_cm2: heads as SquareCentimetres,
    wood_area_cm2: (side + heads) as SquareCentimetres,
    area_to_volume_cm2_per_l: (side + heads) / capacity_l,
  };
}

/** Inner area of the staves between two places along the axis. */
function sideArea(curve: StaveCurve, start: number, end: number): number {
  return integral((s) => {
    const x = start + (end - start) * s;
    const arc = Math.sqrt(radius(curve, x) ** 2 + radiusTimesSlope(curve, x) ** 2);
    return 2 * Math.PI * arc * (end - start);
  });
}

/** A barrel of usual proportions that holds this capacity. */
export function shapeFromCapacity(capacity_l: Litres, profile: BarrelProfile = 'parabolic'): BarrelShape {
  requireNumber('capacity_l', capacity_l, 0, null, 'L', true);
  const head = profile === 'cylinder' ? REFERENCE_BILGE_CM : REFERENCE_HEAD_CM;
  const sized = (scale: number): BarrelShape =>
    barrelShape({
      head_diameter_cm: (head * scale) as Centimetres,
      bilge_diameter_cm: (REFERENCE_BILGE_CM * scale) as Centimetres,
      length_cm: (REFERENCE_LENGTH_CM * scale) as Centimetres,
      profile,
    });
  return sized((capacity_l / sized(1).shape_capacity_l) ** (1 / 3));
}

/** Outside measures, the thickness of the wood and how far the heads sit in. */
export interface OutsideMeasures {
  head_diameter_cm: Centimetres;
  bilge_diameter_cm: Centimetres;
  length_cm: Centimetres;
  stave_cm: Centimetres;
  chime_cm: Centimetres;
  head_thickness_cm: Centimetres;
  /** False when the inside is taken to be as wide at the head as at the stave's end. */
  tapered?: boolean;
  profile?: BarrelProfile;
}

/** The inside of a barrel from outside measures. */
export function shapeFromOutside(outside: OutsideMeasures): BarrelShape {
  const named = [
    'head_diameter_cm',
    'bilge_diameter_cm',
    'length_cm',
    'stave_cm',
    'head_thickness_cm',
  ] as const;
  for (const name of named) requireNumber(name, outside[name], 0, LARGEST_MEASURE_CM, 'cm', true);
  const { stave_cm, length_cm, tapered = true, profile = 'parabolic' } = outside;
  requireNumber('chime_cm', outside.chime_cm, 0, 20, 'cm');
  const bilge = outside.bilge_diameter_cm - 2 * stave_cm;
  const end = outside.head_diameter_cm - 2 * stave_cm;
  const length = length_cm - 2 * (outside.chime_cm + outside.head_thickness_cm);
  if (bilge <= 0 || end <= 0) {
    throw new Inconsistent('stave_cm', stave_cm, 'less than half of each outside diameter');
  }
  if (length <= 0) throw new Inconsistent('length_cm', length_cm, 'more than twice chime and head thickness');
  const head = tapered ? bilge - (bilge - end) * (length / length_cm) ** 2 : end;
  return barrelShape({
    head_diameter_cm: head as Centimetres,
    bilge_diameter_cm: bilge as Centimetres,
    length_cm: length as Centimetres,
    profile,
  });
}

/** Relative standard uncertainty of a capacity taken with a tape. */
export function capacityUncertainty(
  shape: BarrelShape,
  bilge_u_cm = 0.1 as Centimetres,
  head_u_cm = 0.1 as Centimetres,
  length_u_cm = 0.1 as Centimetres,
  shape_u = 0.015 as Fraction,
): Fraction {
  requireNumber('bilge_u_cm', bilge_u_cm, 0, null, 'cm');
  requireNumber('head_u_cm', head_u_cm, 0, null, 'cm');
  requireNumber('length_u_cm', length_u_cm, 0, null, 'cm');
  requireNumber('shape_u', shape_u, 0, null, '');
  const { bilge_diameter_cm: wide, head_diameter_cm: narrow, length_cm } = shape;
  const total = 8 * wide ** 2 + 4 * wide * narrow + 3 * narrow ** 2;
  const byBilge = (16 * wide ** 2 + 4 * wide * narrow) / total;
  const byHead = (4 * wide * narrow + 6 * narrow ** 2) / total;
  const headPart = narrow > 0 ? (byHead * head_u_cm) / narrow : 0;
  const squares =
    ((byBilge * bilge_u_cm) / wide) ** 2 + headPart ** 2 + (length_u_cm / length_cm) ** 2 + shape_u ** 2;
  return Math.sqrt(squares) as Fraction;
}

/** Depth of a lying barrel over its bung diameter, from how full it is; for a barrel known by proportions only. */
export function levelFraction(
  volume_fraction: Fraction,
  head_to_bilge: Fraction,
  length_to_bilge: number = REFERENCE_LENGTH_CM / REFERENCE_BILGE_CM,
  profile: BarrelProfile = 'parabolic',
): Fraction {
  requireNumber('volume_fraction', volume_fraction, 0, 1, 'of the capacity');
  requireNumber('head_to_bilge', head_to_bilge, 0, 1, 'of the bung diameter');
  requireNumber('length_to_bilge', length_to_bilge, 0.1, 10, 'of the bung diameter');
  const kind = requireChoice('profile', profile, BARREL_PROFILES);
  const ratio = kind === 'cylinder' ? 1 : head_to_bilge;
  return levelFor(staveCurve(0.5 * ratio, 0.5, 0.5 * length_to_bilge, kind), volume_fraction) as Fraction;
}

function requireDip(shape: BarrelShape, dip_cm: Centimetres): void {
  requireNumber('dip_cm', dip_cm, 0, shape.bilge_diameter_cm, 'cm, the bung diameter');
}

function requireDepth(shape: BarrelShape, depth_cm: Centimetres): void {
  requireNumber('depth_cm', depth_cm, 0, shape.length_cm, 'cm, the inside length');
}

function requireVolume(shape: BarrelShape, volume_l: Litres): void {
  requireNumber('volume_l', volume_l, 0, shape.capacity_l, 'L, the capacity');
}

/** Volume in a lying barrel, bung up, from the wet depth on a rod at the bung. */
export function volumeAtDipL(shape: BarrelShape, dip_cm: Centimetres): Litres {
  requireDip(shape, dip_cm);
  const share = lyingVolumeAndSurface(shape.curve, dip_cm).volume / (shape.shape_capacity_l * CM3_PER_L);
  return (share * shape.capacity_l) as Litres;
}

/** Wet depth at the bung of a lying barrel from its volume: the level's true height. */
export function dipAtVolumeCm(shape: BarrelShape, volume_l: Litres): Centimetres {
  requireVolume(shape, volume_l);
  return levelFor(shape.curve, volume_l / shape.capacity_l) as Centimetres;
}

/** Free surface of a lying barrel, which is also how fast its shape's volume rises with depth. */
export function surfaceAtDipCm2(shape: BarrelShape, dip_cm: Centimetres): SquareCentimetres {
  requireDip(shape, dip_cm);
  return lyingVolumeAndSurface(shape.curve, dip_cm).surface as SquareCentimetres;
}

/** Volume in a barrel that stands on a head. */
export function standingVolumeL(shape: BarrelShape, depth_cm: Centimetres): Litres {
  requireDepth(shape, depth_cm);
  const reach = depth_cm - shape.length_cm / 2;
  const length = Math.abs(reach);
  const part = integral((s) => Math.PI * radius(shape.curve, length * s) ** 2 * length);
  const share = 0.5 + (Math.sign(reach) * part) / (shape.shape_capacity_l * CM3_PER_L);
  return (share * shape.capacity_l) as Litres;
}

/** Depth above the lower head of a standing barrel from its volume. */
export function standingDepthCm(shape: BarrelShape, volume_l: Litres): Centimetres {
  requireVolume(shape, volume_l);
  // Towards a pointed end volume rises with the cube of depth: there rounding would decide, not the volume.
  if (volume_l <= 0) return 0 as Centimetres;
  if (volume_l >= shape.capacity_l) return shape.length_cm;
  let low = 0;
  let high: number = shape.length_cm;
  for (let turn = 0; turn < 52; turn++) {
    const middle = (0.5 * (low + high)) as Centimetres;
    if (standingVolumeL(shape, middle) < volume_l) low = middle;
    else high = middle;
  }
  return (0.5 * (low + high)) as Centimetres;
}

function wetted(shape: BarrelShape, side: number, heads: number): WettedArea {
  return {
    side_cm2: side as SquareCentimetres,
    heads_cm2: heads as SquareCentimetres,
    total_cm2: (side + heads) as SquareCentimetres,
    fraction: ((side + heads) / shape.wood_area_cm2) as Fraction,
  };
}

/** The wood that the liquid of a lying barrel touches, from the depth at the bung. */
export function wettedAtDip(shape: BarrelShape, dip_cm: Centimetres): WettedArea {
  requireDip(shape, dip_cm);
  const { curve } = shape;
  const y = dip_cm - shape.bilge_diameter_cm / 2;
  const split = whereRadiusIs(curve, Math.abs(y));
  const part = integral((s) => {
    const x = split * (1 - s ** 2);
    const r = radius(curve, x);
    const cosine = asCosine(r > 0 ? -y / r : 0);
    const arc = Math.sqrt(r ** 2 + radiusTimesSlope(curve, x) ** 2);
    return 2 * Math.acos(cosine) * arc * 2 * split * s;
  });
  const beyond = y > 0 ? sideArea(curve, split, curve.half) : 0;
  const head_r = shape.head_diameter_cm / 2;
  const cosine = asCosine(head_r > 0 ? -y / head_r : -Math.sign(y));
  const heads = 2 * head_r ** 2 * (Math.acos(cosine) - cosine * Math.sqrt(1 - cosine ** 2));
  return wetted(shape, 2 * (part + beyond), heads);
}

/** The wood that the liquid of a lying barrel touches, from its volume. */
export function wettedAreaCm2(shape: BarrelShape, volume_l: Litres): SquareCentimetres {
  return wettedAtDip(shape, dipAtVolumeCm(shape, volume_l)).total_cm2;
}

/** The wood that the liquid of a standing barrel touches. */
export function wettedStanding(shape: BarrelShape, depth_cm: Centimetres): WettedArea {
  requireDepth(shape, depth_cm);
  const reach = depth_cm - shape.length_cm / 2;
  const part = sideArea(shape.curve, 0, Math.abs(reach));
  const oneHead = shape.head_area_cm2 / 2;
  const heads = (depth_cm > 0 ? oneHead : 0) + (depth_cm >= shape.length_cm ? oneHead : 0);
  return wetted(shape, shape.side_area_cm2 / 2 + Math.sign(reach) * part, heads);
}

/** In how many positions a lying barrel must rest in turn for all its wood to be wetted. */
export function rotationPlan(
  shape: BarrelShape,
  dip_cm: Centimetres,
  overlap_deg = 10 as Degrees,
): RotationPlan {
  requireDip(shape, dip_cm);
  requireNumber('overlap_deg', overlap_deg, 0, 60, 'degrees');
  const y = dip_cm - shape.bilge_diameter_cm / 2;
  const wide = (y < 0 ? shape.head_diameter_cm : shape.bilge_diameter_cm) / 2;
  const cosine = wide > 0 ? asCosine(-y / wide) : 1;
  const arc = 2 * Math.acos(cosine) * (180 / Math.PI);
  if (arc >= 360) return plan(360, 1, 0);
  if (arc <= 2 * overlap_deg) {
    return {
      narrowest_wet_arc_deg: arc as Degrees,
      positions: null,
      step_deg: null,
      longest_dry_periods: null,
      clock_positions: [],
    };
  }
  // The wet arc is computed, so a quotient a hair above a whole number is that number.
  const positions = Math.ceil(360 / (arc - 2 * overlap_deg) - 1e-9);
  return plan(arc, positions, Math.ceil((360 - arc) / (360 / positions) - 1e-9));
}

function plan(arc: number, positions: number, longest_dry_periods: number): RotationPlan {
  const step = 360 / positions;
  return {
    narrowest_wet_arc_deg: arc as Degrees,
    positions,
    step_deg: step as Degrees,
    longest_dry_periods,
    clock_positions: Array.from({ length: positions }, (_, n) => ((n * step) / 30) % 12 || 12),
  };
}
