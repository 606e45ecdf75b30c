/**
 * A barrel held in water between fills: where the level is now, when it wants water, and doses of a holding solution.
 * Levels are ranges, since a barrel's multiplier and leak are not known. See docs/science/holding.md.
 */

import { Inconsistent, OutOfRange, requireNumber, requireWithin, Underdetermined } from './errors.ts';
import { type BarrelShape, dipAtVolumeCm } from './geometry.ts';
import {
  BOUNDS,
  DEFAULT_CITRIC_G_L,
  DEFAULT_METABISULPHITE_G_L,
  HOLD_LOWEST_FRACTION,
  HOLD_TARGET_FRACTION,
  HOLD_TOP_UP_FRACTION,
  K_QUANTILES,
  K_SPREAD,
  LEAK_MEDIAN_G_PER_DAY_AT_1_L,
  LEAK_QUANTILES,
  LEAK_SPREAD,
  SO2_PER_METABISULPHITE,
  SULPHUROUS_PKA,
  WATER_CRITICAL,
  WATER_KG_L,
  WATER_PERMEABILITY,
  WATER_SATURATION,
  ZERO_CELSIUS_K,
} from './tables.ts';
import type {
  Celsius,
  Centimetres,
  Days,
  Fraction,
  Grams,
  GramsPerLitre,
  Kilopascals,
  Litres,
  MilligramsPerLitre,
  Millimetres,
  SquareMetres,
} from './units.ts';

/** What a level follows from: the water when last known, the barrel, and the climate it lies in. */
export interface Hold {
  /** When filled, topped up or dipped. */
  volume_l: Litres;
  capacity_l: Litres;
  temp_c: Celsius;
  rh_fraction: Fraction;
  /** Inner wood, staves and heads. */
  area_m2: SquareMetres;
  stave_mm: Millimetres;
}

/** The same where the climate may be a series of daily means. */
export interface HoldThrough extends Omit<Hold, 'temp_c' | 'rh_fraction'> {
  temp_c: Celsius | readonly Celsius[];
  rh_fraction: Fraction | readonly Fraction[];
}

/** Geometric spreads of the multiplier and the leak. */
export interface Spreads {
  k_spread?: number;
  leak_spread?: number;
}

/** The water in a hold now, with the band that holds 80 % of cases; low is the pessimistic end. */
export interface WaterLevel {
  volume_low_l: Litres;
  volume_mid_l: Litres;
  volume_high_l: Litres;
  fraction_low: Fraction;
  fraction_mid: Fraction;
  fraction_high: Fraction;
  /** Even the middle course is under 45 % of the capacity. */
  needs_top_up: boolean;
  /** The low one is. */
  may_need_top_up: boolean;
}

export interface TopUpDue {
  earliest_days: Days;
  middle_days: Days;
  latest_days: Days;
}

/** Saturation pressure of water. Source: IAPWS SR1-86, 1992. */
export function vapourPressureWaterKpa(temp_c: Celsius): Kilopascals {
  requireNumber('temp_c', temp_c, 0, 100, 'degrees Celsius');
  const [critical_k = Number.NaN, critical_kpa = Number.NaN] = WATER_CRITICAL;
  const kelvin = temp_c + ZERO_CELSIUS_K;
  const tau = 1 - kelvin / critical_k;
  let series = 0;
  for (const [coefficient = 0, exponent = 0] of WATER_SATURATION) series += coefficient * tau ** exponent;
  return (critical_kpa * Math.exp((critical_k / kelvin) * series)) as Kilopascals;
}

/** Inner wood of a barrel whose measures are unknown: 5.6 (V/1000)^(2/3). */
export function usualWoodAreaM2(capacity_l: Litres): SquareMetres {
  requireWithin('capacity_l', capacity_l, 'capacity_l');
  return (5.6 * (capacity_l / 1000) ** (2 / 3)) as SquareMetres;
}

/** Stave thickness of a barrel whose measures are unknown: 9.4 + 3.0 V^(1/3). */
export function usualStaveMm(capacity_l: Litres): Millimetres {
  requireWithin('capacity_l', capacity_l, 'capacity_l');
  return (9.4 + 3 * Math.cbrt(capacity_l)) as Millimetres;
}

function series<N extends number>(argument: string, value: N | readonly N[]): readonly N[] {
  const all = typeof value === 'number' ? [value] : value;
  if (!Array.isArray(all)) throw new OutOfRange(argument, value, 'a number or one a day');
  if (all.length === 0) throw new Underdetermined(argument, value, 'at least one value');
  return all;
}

/** Mean drive of water outwards over the days that count [kPa]. */
function drive(hold: HoldThrough, days: number): number {
  const temps = series('temp_c', hold.temp_c);
  const humids = series('rh_fraction', hold.rh_fraction);
  for (const temp of temps) requireWithin('temp_c', temp, 'cellar_temp_c');
  for (const humid of humids) requireWithin('rh_fraction', humid, 'rh_fraction');
  const length = Math.max(temps.length, humids.length);
  if (temps.length !== length && temps.length !== 1) {
    throw new Inconsistent('temp_c', temps.length, `one a day, ${length} as the humidity`);
  }
  if (humids.length !== length && humids.length !== 1) {
    throw new Inconsistent('rh_fraction', humids.length, `one a day, ${length} as the temperature`);
  }
  const isSeries = typeof hold.temp_c !== 'number' || typeof hold.rh_fraction !== 'number';
  if (isSeries && days > length) {
    throw new Inconsistent('days', days, `at most the ${length} days of climate given`);
  }
  const counted = isSeries ? Math.max(Math.ceil(days), 1) : 1;
  let sum = 0;
  for (let day = 0; day < counted; day++) {
    const temp = temps[temps.length === 1 ? 0 : day]!;
    const humid = humids[humids.length === 1 ? 0 : day]!;
    sum += vapourPressureWaterKpa(temp) * (1 - humid);
  }
  return sum / counted;
}

/** Water leaving through the wood at a multiplier of 1 [L/day]. */
function waterOutLPerDay(hold: HoldThrough, days: number): number {
  const kpa = drive(hold, days);
  requireWithin('area_m2', hold.area_m2, 'area_m2');
  requireWithin('stave_mm', hold.stave_mm, 'stave_mm');
  return (((WATER_PERMEABILITY * hold.area_m2) / hold.stave_mm) * kpa) / 1000 / WATER_KG_L;
}

/** Quantile of sorted numbers, each standing for the middle of its slice (Hazen). */
function quantile(sorted: readonly number[], share: number): number {
  const place = Math.min(sorted.length - 1, Math.max(0, sorted.length * share - 0.5));
  const before = sorted[Math.floor(place)]!;
  return before + (sorted[Math.ceil(place)]! - before) * (place - Math.floor(place));
}

/** 10 %, 50 % and 90 % quantiles of the water lost a day, over what multiplier and leak may be [L/day]. */
function rates(out_l: number, capacity_l: Litres, spreads: Spreads): [number, number, number] {
  const k_spread = requireNumber('k_spread', spreads.k_spread ?? K_SPREAD, 1, 4, '');
  const leak_spread = requireNumber('leak_spread', spreads.leak_spread ?? LEAK_SPREAD, 1, 10, '');
  const dripped = (LEAK_MEDIAN_G_PER_DAY_AT_1_L * Math.cbrt(capacity_l)) / 1000 / WATER_KG_L;
  const cloud = K_QUANTILES.flatMap((k) =>
    LEAK_QUANTILES.map((leak) => out_l * k_spread ** k + dripped * leak_spread ** leak),
  ).sort((a, b) => a - b);
  return [quantile(cloud, 0.1), quantile(cloud, 0.5), quantile(cloud, 0.9)];
}

function requireLevel(hold: HoldThrough): void {
  requireWithin('capacity_l', hold.capacity_l, 'capacity_l');
  requireNumber('volume_l', hold.volume_l, 0, null, 'L');
  if (hold.volume_l > 1.1 * hold.capacity_l) {
    throw new Inconsistent('volume_l', hold.volume_l, "at most 1.1 of the barrel's capacity");
  }
}

/** The water left in a hold, some days after its level was last known. */
export function waterLevelNow(hold: HoldThrough, days: Days, spreads: Spreads = {}): WaterLevel {
  requireLevel(hold);
  requireNumber('days', days, 0, BOUNDS.days[1], 'days');
  const { volume_l, capacity_l } = hold;
  const [slow, usual, fast] = rates(waterOutLPerDay(hold, days), capacity_l, spreads);
  // A barrel cannot hold less than nothing: a rate that would empty it earlier has emptied it.
  const left = (rate: number): Litres => Math.max(volume_l - days * rate, 0) as Litres;
  const [low, mid, high] = [left(fast), left(usual), left(slow)];
  const share = (volume: number): Fraction => (volume / capacity_l) as Fraction;
  return {
    volume_low_l: low,
    volume_mid_l: mid,
    volume_high_l: high,
    fraction_low: share(low),
    fraction_mid: share(mid),
    fraction_high: share(high),
    needs_top_up: mid < HOLD_TOP_UP_FRACTION * capacity_l,
    may_need_top_up: low < HOLD_TOP_UP_FRACTION * capacity_l,
  };
}

/** In how many days a hold falls to the mark at which it wants water. */
export function topUpDue(
  hold: Hold,
  at_fraction = HOLD_TOP_UP_FRACTION as Fraction,
  spreads: Spreads = {},
): TopUpDue {
  requireLevel(hold);
  requireNumber('at_fraction', at_fraction, 0, 1, 'of the capacity');
  const [slow, usual, fast] = rates(waterOutLPerDay(hold, 0), hold.capacity_l, spreads);
  const spare = Math.max(hold.volume_l - at_fraction * hold.capacity_l, 0);
  return {
    earliest_days: (spare / fast) as Days,
    middle_days: (spare / usual) as Days,
    latest_days: (spare / slow) as Days,
  };
}

/** The dip at the bung that marks half of the capacity, the usual water of a hold. */
export function halfMarkCm(shape: BarrelShape): Centimetres {
  return dipAtVolumeCm(shape, (HOLD_TARGET_FRACTION * shape.capacity_l) as Litres);
}

/** The dip at a third of the capacity, below which a roll no longer wets all the wood in three rests. */
export function lowestMarkCm(shape: BarrelShape): Centimetres {
  return dipAtVolumeCm(shape, (HOLD_LOWEST_FRACTION * shape.capacity_l) as Litres);
}

/** Doses for a full barrel of holding solution, and the sulphite it makes. */
export interface HoldingSolution {
  citric_acid_g: Grams;
  metabisulphite_g: Grams;
  total_so2_mg_l: MilligramsPerLitre;
}

/**
 * Doses of a holding solution. Keeper only, never alone, never with asthma, outdoors or with strong ventilation; acid
 * first; never with chlorine. The barrel bears a sulphite mark from then on. Local rules and the label decide.
 */
export function holdingSolution(
  volume_l: Litres,
  citric_g_l = DEFAULT_CITRIC_G_L as GramsPerLitre,
  metabisulphite_g_l = DEFAULT_METABISULPHITE_G_L as GramsPerLitre,
): HoldingSolution {
  requireNumber('volume_l', volume_l, 0, BOUNDS.volume_l[1], 'L', true);
  requireNumber('citric_g_l', citric_g_l, 0, 10, 'g/L');
  requireNumber('metabisulphite_g_l', metabisulphite_g_l, 0, 5, 'g/L');
  return {
    citric_acid_g: (volume_l * citric_g_l) as Grams,
    metabisulphite_g: (volume_l * metabisulphite_g_l) as Grams,
    total_so2_mg_l: (1000 * SO2_PER_METABISULPHITE * metabisulphite_g_l) as MilligramsPerLitre,
  };
}

/** The share of free sulphite that works against microbes: 1/(1 + 10^(pH - 1.81)). */
export function activeSo2Share(ph: number): Fraction {
  requireNumber('ph', ph, 0, 14, '');
  return (1 / (1 + 10 ** (ph - SULPHUROUS_PKA))) as Fraction;
}

/** The sulphite that the next fill takes up from what the wood keeps. */
export function so2CarriedMgL(
  total_so2_mg_l: MilligramsPerLitre,
  carried_fraction: Fraction,
): MilligramsPerLitre {
  requireNumber('total_so2_mg_l', total_so2_mg_l, 0, 5000, 'mg/L');
  requireNumber('carried_fraction', carried_fraction, 0, 1, '(a share)');
  return (total_so2_mg_l * carried_fraction) as MilligramsPerLitre;
}
