/** How full a bottle is filled: room for a warm day, little air, and how long it then keeps. */

import type { Vessel } from '~/api/types.ts';
import { densityFromAbvKgM3 } from '~/science/alcoholometry.ts';
import { headspaceFillMl, headspaceOxygenMgL, keepingDays, neckDepthMm } from '~/science/bottles.ts';
import { addDays } from '~/science/dates.ts';
import { HEADSPACE_LIMIT, HEADSPACE_TARGET } from '~/science/tables.ts';
import { abvPct, celsius, fraction, millilitres, millimetres } from '~/science/units.ts';
import { dateWords } from '../words/bottle.ts';
import { unit } from '../words/numbers.ts';
import { type Moment, today } from '../words/time.ts';
import { typedNumber } from '../words/typed.ts';
import type { BottleLine } from './divide.ts';

/** One size at hand, with what was measured of it. */
export interface Line extends BottleLine {
  /** What it holds up to the foot of its cork; empty where nobody measured. */
  foot: string;
  /** How wide its neck is inside; empty where nobody measured. */
  bore: string;
}

export const TARGET_PCT = String(100 * HEADSPACE_TARGET);
const MOST_PCT = 50;
export const TARGET_ALLOWED = `0 to ${MOST_PCT} %`;

/** The headspace that was typed, as a share of the bottle; null while it is none. */
export function targetOf(typed: string): number | null {
  const pct = typedNumber(typed);
  return pct === null || pct < 0 || pct > MOST_PCT ? null : pct / 100;
}

/** A bottle holds a little more than its label says, up to the brim; the server takes no more than this. */
const BRIM_OVER_LABEL = 1.1;
const BORE_MM = [5, 100] as const;

/** What is wrong with what was measured of a bottle. */
export function lineWrong(line: Line): { foot?: string; bore?: string } {
  const foot = typedNumber(line.foot);
  const bore = typedNumber(line.bore);
  const isFoot = foot !== null && foot >= 0.8 * line.size_ml && foot <= BRIM_OVER_LABEL * line.size_ml;
  const isBore = bore !== null && bore >= BORE_MM[0] && bore <= BORE_MM[1];
  return {
    ...(line.foot.trim() && !isFoot ? { foot: 'No bottle of that size does.' } : {}),
    ...(line.bore.trim() && !isBore ? { bore: 'No neck is that.' } : {}),
  };
}

export const footAllowed = (line: Line): string =>
  `${Math.ceil(0.8 * line.size_ml)} to ${Math.floor(BRIM_OVER_LABEL * line.size_ml)} mL`;
export const BORE_ALLOWED = `${BORE_MM[0]} to ${BORE_MM[1]} mm`;

/** A bottle is called by what it is sold with, and is made to hold the usual headspace more (common practice). */
const footMl = (line: Line): number =>
  line.foot.trim() && !lineWrong(line).foot ? typedNumber(line.foot)! : line.size_ml / (1 - HEADSPACE_TARGET);

/** How much goes into each, to the whole millilitre. */
export function fillFor(line: Line, target: number): number {
  return Math.round(headspaceFillMl(millilitres(footMl(line)), fraction(target)));
}

/** A neck that is straight for longer than this is no usual one (common practice, no source). */
const LONG_NECK_MM = 60;

/** "Fill each 700 mL bottle to 700 mL, 29 mL below the cork’s foot." In millimetres where its neck is known. */
export function fillWords(line: Line): string {
  const gap_ml = Math.round(footMl(line) - line.fill_ml);
  const to = `Fill each ${unit(line.size_ml, 'mL')} bottle to ${unit(line.fill_ml, 'mL')}`;
  if (gap_ml < 0) return `${to}. That is more than it holds to the cork’s foot.`;
  const bore = typedNumber(line.bore);
  if (bore === null || lineWrong(line).bore) return `${to}, ${unit(gap_ml, 'mL')} below the cork’s foot.`;
  const mm = Math.round(neckDepthMm(millilitres(gap_ml), millimetres(bore)));
  return mm > LONG_NECK_MM
    ? `${to}. It stands below the neck then: go by the measure, not by the eye.`
    : `${to}: ${unit(mm, 'mm')} below the cork’s foot.`;
}

const WARM_C = 40;

/** By how much the liquid grows from 20 °C to a hot shelf; null where its strength is not known. */
export function growth(abv_pct: number | null): number | null {
  if (abv_pct === null) return null;
  const density = (temp_c: number): number => densityFromAbvKgM3(abvPct(abv_pct), celsius(temp_c));
  return density(20) / density(WARM_C) - 1;
}

/** Whether the gap is enough for a warm day, and not more than it need be. */
export function targetWords(target: number, abv_pct: number | null): { words: string; isBad: boolean } {
  const grows = growth(abv_pct);
  const pct = (share: number): string => unit(Number((100 * share).toFixed(1)), '%');
  if (target > HEADSPACE_LIMIT)
    return {
      words: `Over ${pct(HEADSPACE_LIMIT)} of air it keeps less long, and where bottles are sold it may count as short.`,
      isBad: true,
    };
  if (grows === null) return { words: 'Three to five percent leave room for a warm day.', isBad: false };
  const warm = `Warmed to ${WARM_C}\u00a0°C it grows by ${pct(grows)}`;
  return target < grows
    ? { words: `${warm}: so full it may lift its cork or break.`, isBad: true }
    : { words: `${warm}; the gap leaves room for that.`, isBad: false };
}

/** Until when a bottle so full is at its best, said before it is filled; as the server reckons it afterwards. */
export function bestWords(
  line: Line,
  vessel: Pick<Vessel, 'is_wine_based'>,
  abv_pct: number | null,
  moment: Moment,
): string {
  if (abv_pct === null) return 'How long it keeps depends on its strength, which nobody measured.';
  const gap = Math.min(1, Math.max(0, 1 - line.fill_ml / line.size_ml));
  const { days, is_kept_cold } = keepingDays(fraction(gap), abvPct(abv_pct), vessel);
  // The air is what the cork shuts in; the days go by the label's size, which is all that is known of a bottle later.
  const air = Math.min(0.99, Math.max(0, 1 - line.fill_ml / footMl(line)));
  const oxygen = Math.round(headspaceOxygenMgL(fraction(air)));
  const cold = is_kept_cold ? ' Keep it cold.' : '';
  return `Closed, best before ${dateWords(addDays(today(moment), days), moment)} (quality): ${unit(oxygen, 'mg')} of oxygen a litre stand over it.${cold}`;
}
