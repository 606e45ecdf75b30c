/** A reading at a barrel: what was typed, what it means, how far it lies from what was expected, what it changed. */

import type { Barrel } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import type { ReadingBody } from '~/outbox/bodies.ts';
import { abvPctFromReading } from '~/science/alcoholometry.ts';
import { volumeFromWeightL } from '~/science/gauging.ts';
import { dipAtVolumeCm, volumeAtDipL } from '~/science/geometry.ts';
import { READABLE_SUGAR_G_L } from '~/science/tables.ts';
import { abvPct, celsius, centimetres, kilograms, litres } from '~/science/units.ts';
import { insideShape } from '../parts/inside-shape.ts';
import type { InsideNow } from './barrel.ts';
import { unit } from './numbers.ts';
import { typedNumber } from './typed.ts';
import { densityKgM3Of } from './weighed.ts';

export type ReadingKind = 'weight' | 'dip' | 'alcoholmeter' | 'climate';

export interface ReadingDraft {
  kind: ReadingKind;
  /** The scale in kg, the rod in mm, or the alcoholmeter in % vol, as typed. */
  value: string;
  temp: string;
  rh: string;
  note: string;
}

export const EMPTY_READING: ReadingDraft = { kind: 'weight', value: '', temp: '', rh: '', note: '' };

export interface Wrong {
  value?: string;
  temp?: string;
  rh?: string;
}

export interface Figure {
  unit: 'L' | '% vol';
  value: number;
}

export interface ReadOut {
  wrong: Wrong;
  body: ReadingBody | null;
  /** What the reading means, where this phone can tell. */
  figure: Figure | null;
}

const BOUNDS: Record<'weight' | 'alcoholmeter', [number, number]> = {
  weight: [0, 1000],
  alcoholmeter: [0, 100],
};

function within(text: string, low: number, high: number, isAbove = false): number | null {
  const value = typedNumber(text);
  if (value === null || value > high || (isAbove ? value <= low : value < low)) return null;
  return value;
}

/** Reads what was typed: the entry, or what is wrong with it. */
export function readOut(
  draft: ReadingDraft,
  barrel: Barrel,
  tare_kg: number | null,
  inside: InsideNow | null,
): ReadOut {
  const wrong: Wrong = {};
  const note = draft.note.trim() ? { note: draft.note.trim() } : {};
  const base = { barrel: barrel.id, kind: draft.kind, ...note };
  const sugar_g_l = barrel.contents?.sugar_g_l ?? 0;
  switch (draft.kind) {
    case 'weight': {
      const mass_kg = within(draft.value, ...BOUNDS.weight, true);
      if (mass_kg === null) wrong.value = 'That is no weight of a barrel.';
      return {
        wrong,
        body: mass_kg === null ? null : { ...base, mass_kg },
        figure: mass_kg === null ? null : weighed(mass_kg, tare_kg, inside, sugar_g_l),
      };
    }
    case 'dip': {
      const deepest_mm = Math.round(barrel.shape.bilge_diameter_cm * 10);
      const dip_mm = within(draft.value, 0, deepest_mm);
      if (dip_mm === null) wrong.value = `Its bung is ${deepest_mm} mm over the foot.`;
      return {
        wrong,
        body: dip_mm === null ? null : { ...base, dip_mm },
        figure:
          dip_mm === null
            ? null
            : { unit: 'L', value: volumeAtDipL(insideShape(barrel), centimetres(dip_mm / 10)) },
      };
    }
    case 'alcoholmeter': {
      const apparent = within(draft.value, ...BOUNDS.alcoholmeter);
      const temp = within(draft.temp, -20, 40);
      if (apparent === null) wrong.value = 'That is no strength.';
      if (temp === null) wrong.temp = 'The correction needs its temperature.';
      return {
        wrong,
        body:
          apparent === null || temp === null ? null : { ...base, abv_apparent_pct: apparent, temp_c: temp },
        figure:
          apparent === null || temp === null || sugar_g_l > READABLE_SUGAR_G_L
            ? null
            : corrected(apparent, temp),
      };
    }
    default: {
      const temp = within(draft.temp, -20, 60);
      const damp = within(draft.rh, 0, 100);
      if (temp === null) wrong.temp = 'That is no temperature of a cellar.';
      if (damp === null) wrong.rh = 'That is no humidity.';
      return {
        wrong,
        body: temp === null || damp === null ? null : { ...base, temp_c: temp, rh: damp / 100 },
        figure: null,
      };
    }
  }
}

/** True strength at 20 °C of an unsweetened spirit; null where the tables end. */
function corrected(apparent_pct: number, temp_c: number): Figure | null {
  try {
    return { unit: '% vol', value: abvPctFromReading(abvPct(apparent_pct), celsius(temp_c)) };
  } catch {
    return null;
  }
}

function weighed(
  mass_kg: number,
  tare_kg: number | null,
  inside: InsideNow | null,
  sugar_g_l: number,
): Figure | null {
  if (tare_kg === null || mass_kg <= tare_kg) return null;
  const density = densityKgM3Of(inside?.abv_pct?.mid ?? 0, sugar_g_l);
  return { unit: 'L', value: volumeFromWeightL(kilograms(mass_kg - tare_kg), density) };
}

/** What was expected of the same figure. */
export function expectedOf(
  figure: Figure | null,
  inside: InsideNow | null,
): { low: number; mid: number; high: number } | null {
  if (!figure || !inside) return null;
  return figure.unit === 'L' ? inside.volume_l : inside.abv_pct;
}

/** Half the width of an interval that holds 80 % of cases, in standard deviations. */
const SD_OF_80 = 1.2816;
/** As on the server: four standard deviations off is asked for again. */
const FAR_SD = 4;
const ROD_MM = 2;
const SCALE_KG = 0.05;
const WOOD_SHARE = 0.02;
const ALCOHOLMETER_PCT = 0.5;

/** Whether a reading lies so far from what was expected that it should be read once more. */
export function isFarOff(
  kind: ReadingKind,
  figure: Figure | null,
  barrel: Barrel,
  tare_kg: number | null,
  inside: InsideNow | null,
): boolean {
  const expected = expectedOf(figure, inside);
  if (!figure || !expected) return false;
  const sd = (expected.high - expected.low) / (2 * SD_OF_80);
  const own =
    kind === 'alcoholmeter'
      ? ALCOHOLMETER_PCT
      : kind === 'weight'
        ? SCALE_KG + WOOD_SHARE * (tare_kg ?? 0)
        : ROD_MM * litresPerMm(barrel, expected.mid);
  return Math.abs(figure.value - expected.mid) > FAR_SD * Math.hypot(sd, own);
}

function litresPerMm(barrel: Barrel, volume_l: number): number {
  const shape = insideShape(barrel);
  const dip = dipAtVolumeCm(shape, litres(Math.min(volume_l, barrel.capacity_l)));
  const low = Math.max(0, dip - 0.1);
  const high = Math.min(barrel.shape.bilge_diameter_cm, dip + 0.1);
  return (
    (volumeAtDipL(shape, centimetres(high)) - volumeAtDipL(shape, centimetres(low))) / ((high - low) * 10)
  );
}

/** "That is 4.21 L, measured; 4.1 to 4.3 L was expected." */
export function meaningWords(figure: Figure | null, inside: InsideNow | null): string | null {
  if (!figure) return null;
  const said =
    figure.unit === 'L'
      ? `That is ${unit(figure.value.toFixed(2), 'L')}`
      : `That is ${unit(figure.value.toFixed(1), '% vol')} at ${unit(20, '°C')}`;
  const expected = expectedOf(figure, inside);
  if (!expected) return `${said}.`;
  return `${said}; ${rangeText({ low: expected.low, high: expected.high, unit: figure.unit })} was expected.`;
}

/** How a forecast changed, in words: before and after. */
export function changedWords(before: InsideNow | null, after: InsideNow | null): string | null {
  if (!before || !after) return null;
  const said = [compared('L', before.volume_l, after.volume_l)];
  if (before.abv_pct && after.abv_pct) said.push(compared('% vol', before.abv_pct, after.abv_pct));
  return said.join(' ');
}

type Band = { low: number; mid: number; high: number };

function compared(name: 'L' | '% vol', before: Band, after: Band): string {
  const text = (band: Band): string => rangeText({ low: band.low, high: band.high, unit: name });
  const what = name === 'L' ? 'In it' : 'Its strength';
  if (text(before) === text(after)) return `${what}: ${text(after)}, as before.`;
  const narrower = (after.high - after.low) / Math.max(1e-9, before.high - before.low);
  const surer = narrower < 0.85 ? 'surer' : narrower > 1.15 ? 'less sure' : '';
  const shift = after.mid - before.mid;
  const moved = Math.abs(shift) > 0.15 * (before.high - before.low) ? (shift > 0 ? 'more' : 'less') : '';
  const how = [moved, surer].filter(Boolean).join(' and ');
  return `${what}: ${text(before)} before, ${text(after)} now${how ? `: ${how} than thought` : ''}.`
    .replace(/: surer than thought/, ': surer')
    .replace(/: less sure than thought/, ': less sure');
}
