/**
 * Integrals along a stave: the curve r(x), liquid in a lying barrel, and the level that holds a volume. Lengths are
 * centimetres, x runs from the bung plane to a head. Points, steps and stops are those of the server.
 */

import type { BARREL_PROFILES } from './tables.ts';
import { GAUSS_POINTS, GAUSS_WEIGHTS } from './tables.ts';

export type BarrelProfile = (typeof BARREL_PROFILES)[number];
export const CM3_PER_L = 1000;

/** Holds half diameters at head and bung, half the length, and what a circular arc needs [cm]. */
export interface StaveCurve {
  head_r: number;
  bilge_r: number;
  half: number;
  drop: number;
  /** Infinite where the stave is straight. */
  arc_r: number;
  profile: BarrelProfile;
}

export function staveCurve(
  head_r: number,
  bilge_r: number,
  half: number,
  profile: BarrelProfile,
): StaveCurve {
  const drop = bilge_r - head_r;
  const isBent = profile === 'circular_arc' && drop > 0;
  const arc_r = isBent ? (half ** 2 + drop ** 2) / (2 * drop) : Number.POSITIVE_INFINITY;
  return { head_r, bilge_r, half, drop, arc_r, profile };
}

/** Gives r(x). */
export function radius(curve: StaveCurve, x: number): number {
  const { bilge_r, head_r, half, drop, arc_r } = curve;
  const u = x / half;
  switch (curve.profile) {
    case 'parabolic':
      return bilge_r - drop * u ** 2;
    case 'cones':
      return bilge_r - drop * u;
    case 'circular_arc':
      if (!Number.isFinite(arc_r)) return bilge_r;
      return bilge_r - x ** 2 / (arc_r + Math.sqrt(Math.max(arc_r ** 2 - x ** 2, 0)));
    default: {
      const power = curve.profile === 'spheroid' ? u ** 2 : u;
      return Math.sqrt(Math.max(bilge_r ** 2 - (bilge_r ** 2 - head_r ** 2) * power, 0));
    }
  }
}

/** Gives r r'(x), which stays finite even where the stave stands upright. */
export function radiusTimesSlope(curve: StaveCurve, x: number): number {
  const { bilge_r, head_r, half, drop, arc_r } = curve;
  const u = x / half;
  const squares = bilge_r ** 2 - head_r ** 2;
  switch (curve.profile) {
    case 'parabolic':
      return (-radius(curve, x) * 2 * drop * u) / half;
    case 'cones':
      return (-radius(curve, x) * drop) / half;
    case 'circular_arc':
      if (!Number.isFinite(arc_r)) return 0;
      return (radius(curve, x) * -x) / Math.sqrt(Math.max(arc_r ** 2 - x ** 2, 0));
    case 'spheroid':
      return (-squares * u) / half;
    default:
      return -squares / (2 * half);
  }
}

/** Gives the x at which r(x) equals a height between head and bilge radius; else the head. */
export function whereRadiusIs(curve: StaveCurve, height: number): number {
  const { bilge_r, head_r, half, drop, arc_r } = curve;
  if (!(height > head_r && drop > 0)) return half;
  const gap = Math.max(bilge_r - height, 0);
  let u: number;
  if (curve.profile === 'parabolic') u = Math.sqrt(gap / drop);
  else if (curve.profile === 'cones') u = gap / drop;
  else if (curve.profile === 'circular_arc') u = Math.sqrt(Math.max(gap * (2 * arc_r - gap), 0)) / half;
  else {
    const share = (bilge_r ** 2 - height ** 2) / (bilge_r ** 2 - head_r ** 2);
    u = curve.profile === 'spheroid' ? Math.sqrt(Math.max(share, 0)) : share;
  }
  return Math.min(1, Math.max(0, u)) * half;
}

/** Integrates over 0 to 1 with 24 Gauss points. */
export function integral(of: (s: number) => number): number {
  return GAUSS_POINTS.reduce((sum, point, n) => sum + of(point) * (GAUSS_WEIGHTS[n] ?? 0), 0);
}

/** Keeps what rounding pushed past the ends of a cosine inside them. */
export function asCosine(value: number): number {
  return Math.min(1, Math.max(-1, value));
}

/**
 * Gives liquid volume and free surface of a lying barrel [cm3, cm2] for a depth at the bung. The substitution
 * x = split (1 - s^2) makes the integrand smooth where the liquid's surface meets the stave.
 */
export function lyingVolumeAndSurface(curve: StaveCurve, dip: number): { volume: number; surface: number } {
  const y = dip - curve.bilge_r;
  const split = whereRadiusIs(curve, Math.abs(y));
  let volume = 0;
  let surface = 0;
  GAUSS_POINTS.forEach((point, n) => {
    const r = radius(curve, split * (1 - point ** 2));
    const cosine = asCosine(r > 0 ? -y / r : 0);
    const sine = Math.sqrt(1 - cosine ** 2);
    const step = 2 * split * point * (GAUSS_WEIGHTS[n] ?? 0);
    volume += r ** 2 * (Math.acos(cosine) - cosine * sine) * step;
    surface += 2 * r * sine * step;
  });
  // Past the split, towards the head, the section is either wholly dry or wholly full.
  if (y > 0) {
    const length = curve.half - split;
    volume += integral((s) => Math.PI * radius(curve, split + length * s) ** 2 * length);
  }
  return { volume: 2 * volume, surface: 2 * surface };
}

/** Gives the whole inner volume [cm3]. */
export function wholeVolume(curve: StaveCurve): number {
  return 2 * integral((s) => Math.PI * radius(curve, curve.half * s) ** 2 * curve.half);
}

/** Solves for the depth [cm] that holds a share of the whole volume, by Newton's method inside a bracket. */
export function levelFor(curve: StaveCurve, share: number): number {
  const whole = wholeVolume(curve);
  const depth = 2 * curve.bilge_r;
  if (share <= 0) return 0;
  if (share >= 1) return depth;
  // A whole ellipsoid has the share 3 f^2 - 2 f^3; its inverse is a close start for any barrel.
  let dip = (0.5 - Math.sin(Math.asin(asCosine(1 - 2 * share)) / 3)) * depth;
  let low = 0;
  let high = depth;
  for (let turn = 0; turn < 60; turn++) {
    const { volume, surface } = lyingVolumeAndSurface(curve, dip);
    const miss = volume - share * whole;
    if (miss <= 0) low = dip;
    if (miss >= 0) high = dip;
    const newton = dip - miss / surface;
    const moved = newton >= low && newton <= high ? newton : 0.5 * (low + high);
    const isSettled = Math.abs(moved - dip) <= 1e-11 * depth;
    dip = moved;
    if (isSettled) break;
  }
  return dip;
}
