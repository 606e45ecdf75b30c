/**
 * Curing a new barrel: how fast it still leaks, whether it closes, and when it is tight. What the wood drinks and what
 * evaporates is no leak and is taken off; a wiped joint that stays dry for half a day decides. Rules, uncertainty and
 * sources stand in docs/science/curing.md.
 */

import { Inconsistent, requireNumber, requireWithin, sixDigits, Underdetermined } from './errors.ts';
import { vapourPressureWaterKpa } from './holding.ts';
import { soakedL } from './soaking.ts';
import {
  BOUNDS,
  CURING_AIR_RELATIVE_U,
  CURING_DRY_JOINT_HOURS,
  CURING_GIVE_UP_HOURS,
  CURING_LEAST_HOURS,
  CURING_NOT_CLOSING_HOURS,
  CURING_ONE_SIDED_90,
  CURING_ONE_SIDED_95,
  CURING_READING_U_ML,
  CURING_REJECT_CAPACITY_SHARE_PER_H,
  CURING_RELATIVE_U,
  CURING_SOAK_RELATIVE_U,
  CURING_TREND_INTERVALS,
  CURING_WARN_HOURS,
  TIGHT_ML_PER_DM2_DAY,
  WATER_KG_L,
  WATER_PERMEABILITY,
} from './tables.ts';
import type {
  Celsius,
  Days,
  Fraction,
  Hours,
  Litres,
  Millilitres,
  Millimetres,
  SquareDecimetres,
  SquareMetres,
} from './units.ts';

export { soakedL, type WoodState } from './soaking.ts';
export { CURING_DRY_JOINT_HOURS, TIGHT_ML_PER_DM2_DAY } from './tables.ts';
export type CuringVerdict = 'tight' | 'closing' | 'not_closing' | 'keep_soaking';

/** One stretch between two top-ups back to the same mark, and what sound wood takes meanwhile. */
export interface TopUpInterval {
  /** Since the water went in. */
  from_h: Hours;
  to_h: Hours;
  topped_up_ml: Millilitres;
  expected_ml?: Millilitres;
  expected_u_ml?: Millilitres;
}

/** What sound wood takes between two times. */
export interface ExpectedDrink {
  soaked_ml: Millilitres;
  evaporated_ml: Millilitres;
  total_ml: Millilitres;
  u_ml: Millilitres;
}

/** What the top-ups say. */
export interface Tightness {
  window_h: Hours;
  rate_ml_per_h: number;
  rate_u_ml_per_h: number;
  /** Leak figure and its one-sided upper bound (95 %). */
  leak_ml_per_dm2_day: number;
  leak_upper_ml_per_dm2_day: number;
  wood_and_air_ml_per_h: number;
  wood_and_air_u_ml_per_h: number;
  verdict: CuringVerdict;
  /** When the trend reaches the limit, since the water went in; null without a trend. */
  predicted_tight_h: Hours | null;
  is_slow: boolean;
  is_given_up: boolean;
  /** The vessel or the window is too coarse to tell: no leak is claimed. */
  is_too_coarse: boolean;
  /** Cracked, or it pours out: back at once. */
  is_rejected: boolean;
}

/** What a sound barrel of water takes between two top-ups: the wood's drink and what evaporates, with their doubt. */
export function expectedDrink(
  from_h: Hours,
  to_h: Hours,
  temp_c: Celsius,
  rh_fraction: Fraction,
  area_m2: SquareMetres,
  stave_mm: Millimetres,
  wood_state: string = 'dry',
): ExpectedDrink {
  const longest = 24 * BOUNDS.days[1];
  requireNumber('from_h', from_h, 0, longest, 'h');
  requireNumber('to_h', to_h, 0, longest, 'h');
  if (to_h < from_h) throw new Inconsistent('to_h', to_h, `not before from_h, ${sixDigits(from_h)} h`);
  const drunk = (hours: number): number => soakedL((hours / 24) as Days, area_m2, stave_mm, wood_state);
  const soaked = 1000 * (drunk(to_h) - drunk(from_h));
  requireWithin('temp_c', temp_c, 'cellar_temp_c');
  requireWithin('rh_fraction', rh_fraction, 'rh_fraction');
  const drive = vapourPressureWaterKpa(temp_c) * (1 - rh_fraction);
  const lost_g_per_day = ((WATER_PERMEABILITY * area_m2) / stave_mm) * drive;
  // Air so damp that water would come in takes nothing: a curing barrel is never credited for it.
  const evaporated = (Math.max(0, lost_g_per_day) * (to_h - from_h)) / 24 / WATER_KG_L;
  const spread = Math.hypot(CURING_SOAK_RELATIVE_U * soaked, CURING_AIR_RELATIVE_U * evaporated);
  return {
    soaked_ml: soaked as Millilitres,
    evaporated_ml: evaporated as Millilitres,
    total_ml: (soaked + evaporated) as Millilitres,
    u_ml: spread as Millilitres,
  };
}

const expectedOf = (one: TopUpInterval): number => one.expected_ml ?? 0;
const leakedMl = (one: TopUpInterval): number => Math.max(one.topped_up_ml - expectedOf(one), 0);
const hoursOf = (one: TopUpInterval): number => one.to_h - one.from_h;
const volumeU = (volume_ml: number, reading_u_ml: number): number =>
  Math.hypot(reading_u_ml, CURING_RELATIVE_U * volume_ml);

function checked(intervals: readonly TopUpInterval[]): void {
  if (intervals.length === 0)
    throw new Underdetermined('intervals', intervals, 'at least one stretch between two top-ups');
  let before = Number.NEGATIVE_INFINITY;
  for (const one of intervals) {
    requireNumber('intervals from_h', one.from_h, 0, null, 'h');
    requireNumber('intervals to_h', one.to_h, 0, null, 'h');
    requireNumber('intervals topped_up_ml', one.topped_up_ml, 0, null, 'mL');
    requireNumber('intervals expected_ml', expectedOf(one), 0, null, 'mL');
    requireNumber('intervals expected_u_ml', one.expected_u_ml ?? 0, 0, null, 'mL');
    if (one.to_h <= one.from_h)
      throw new Inconsistent('intervals to_h', one.to_h, `after its start, ${sixDigits(one.from_h)} h`);
    if (one.from_h < before - 1e-9)
      throw new Inconsistent(
        'intervals from_h',
        one.from_h,
        `not before the end of the one before, ${sixDigits(before)} h`,
      );
    before = one.to_h;
  }
}

/** Slope of ln rate against time [1/h] and its uncertainty, from the latest up to four intervals. */
function trendOf(intervals: readonly TopUpInterval[], reading_u_ml: number): [number, number] | null {
  const latest = intervals.slice(-CURING_TREND_INTERVALS);
  if (latest.length < 2) return null;
  const points = latest.map((one) => {
    const volume = Math.max(leakedMl(one), reading_u_ml);
    return {
      weight: (volume / volumeU(volume, reading_u_ml)) ** 2,
      middle: 0.5 * (one.from_h + one.to_h),
      log: Math.log(volume / hoursOf(one)),
    };
  });
  const whole = points.reduce((sum, point) => sum + point.weight, 0);
  const centre = points.reduce((sum, point) => sum + point.weight * point.middle, 0) / whole;
  const spread = points.reduce((sum, point) => sum + point.weight * (point.middle - centre) ** 2, 0);
  const slope =
    points.reduce((sum, point) => sum + point.weight * (point.middle - centre) * point.log, 0) / spread;
  return [slope, 1 / Math.sqrt(spread)];
}

function predictedTightH(
  intervals: readonly TopUpInterval[],
  trend: [number, number] | null,
  area_dm2: number,
): number | null {
  const last = intervals.at(-1)!;
  const figure = (24 * leakedMl(last)) / hoursOf(last) / area_dm2;
  if (figure <= TIGHT_ML_PER_DM2_DAY) return last.to_h;
  if (!trend || trend[0] >= 0) return null;
  return last.to_h + Math.log(figure / TIGHT_ML_PER_DM2_DAY) / -trend[0];
}

export interface TightnessOptions {
  /** How well a top-up is read; 1 to 2 with a syringe. */
  reading_u_ml?: Millilitres | undefined;
  capacity_l?: Litres | null | undefined;
  is_cracked?: boolean | undefined;
}

/** Judges a curing from its top-ups. Design values of this project; uncertainty after JCGM 100:2008. */
export function tightness(
  intervals: readonly TopUpInterval[],
  inner_area_dm2: SquareDecimetres,
  dry_joint_h: Hours,
  options: TightnessOptions = {},
): Tightness {
  checked(intervals);
  const area = requireNumber('inner_area_dm2', inner_area_dm2, 2, 600, 'dm2');
  const dry = requireNumber('dry_joint_h', dry_joint_h, 0, null, 'h');
  const reading_u = options.reading_u_ml ?? CURING_READING_U_ML;
  requireNumber('reading_u_ml', reading_u, 0, 100, 'mL', true);
  const capacity_l = options.capacity_l ?? null;
  if (capacity_l !== null) requireWithin('capacity_l', capacity_l, 'capacity_l');
  const elapsed = intervals.at(-1)!.to_h;
  let [window, leaked, expected, expected_u, variance] = [0, 0, 0, 0, 0];
  for (const one of [...intervals].reverse()) {
    if (window >= CURING_LEAST_HOURS) break;
    window += hoursOf(one);
    leaked += leakedMl(one);
    expected += Math.min(expectedOf(one), one.topped_up_ml);
    // One barrel's wood is thirsty or not all along, so the parts add up and do not average out.
    expected_u += one.expected_u_ml ?? 0;
    variance += volumeU(one.topped_up_ml, reading_u) ** 2;
  }
  const rate = leaked / window;
  const rate_u = Math.sqrt(variance) / window;
  const figure = (24 * rate) / area;
  const upper = (24 * (rate + CURING_ONE_SIDED_95 * rate_u)) / area;
  const trend = trendOf(intervals, reading_u);
  const reached = predictedTightH(intervals, trend, area);
  const isTight =
    elapsed >= CURING_LEAST_HOURS &&
    window >= CURING_LEAST_HOURS &&
    upper <= TIGHT_ML_PER_DM2_DAY &&
    dry >= CURING_DRY_JOINT_HOURS;
  const isClosing =
    trend !== null &&
    trend[0] + CURING_ONE_SIDED_90 * trend[1] < 0 &&
    reached !== null &&
    reached <= CURING_GIVE_UP_HOURS;
  const open: CuringVerdict = elapsed >= CURING_NOT_CLOSING_HOURS ? 'not_closing' : 'keep_soaking';
  const most_ml_per_h = 1000 * CURING_REJECT_CAPACITY_SHARE_PER_H * (capacity_l ?? 0);
  const poursOut =
    capacity_l !== null &&
    intervals.some((one) => one.from_h >= CURING_LEAST_HOURS && leakedMl(one) / hoursOf(one) > most_ml_per_h);
  return {
    window_h: window as Hours,
    rate_ml_per_h: rate,
    rate_u_ml_per_h: rate_u,
    leak_ml_per_dm2_day: figure,
    leak_upper_ml_per_dm2_day: upper,
    wood_and_air_ml_per_h: expected / window,
    wood_and_air_u_ml_per_h: expected_u / window,
    verdict: isTight ? 'tight' : isClosing ? 'closing' : open,
    predicted_tight_h: reached as Hours | null,
    is_slow: !isTight && elapsed >= CURING_WARN_HOURS,
    is_given_up: !isTight && elapsed >= CURING_GIVE_UP_HOURS,
    is_too_coarse: figure <= TIGHT_ML_PER_DM2_DAY && upper > TIGHT_ML_PER_DM2_DAY,
    is_rejected: options.is_cracked === true || poursOut,
  };
}
