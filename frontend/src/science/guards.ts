/**
 * Warnings about a mix before it goes into wood: spoilage, strength, fire, allergens, what never belongs there.
 * Local law and licensed practice decide; these are the usual cautions, said where the act happens. Limits and their
 * sources stand in docs/science/guards.md.
 */

import { decimals, requireChoice, requireNumber, requireWithin, sixDigits } from './errors.ts';
import {
  ALLERGENS,
  CLOGS_WOOD,
  FLASH_POINT,
  FORBIDDEN_IN_WOOD,
  GUARD_LEVELS,
  INGREDIENT_KINDS,
} from './tables.ts';
import type { AbvPct, Celsius, Fraction, GramsPerLitre } from './units.ts';

export type GuardLevel = (typeof GUARD_LEVELS)[number];
export type IngredientKind = (typeof INGREDIENT_KINDS)[number];
export type Allergen = (typeof ALLERGENS)[number];

/** One warning: how loud, a stable code and the sentence to show. */
export interface Guard {
  level: GuardLevel;
  code: string;
  reason: string;
}

export interface MixCircumstances {
  sugar_g_l?: GramsPerLitre;
  ingredients?: readonly IngredientKind[];
  allergens?: readonly Allergen[];
  is_wine_based?: boolean;
  fill_fraction?: Fraction;
  weeks_slack?: number;
  cellar_temp_c?: Celsius;
  strongest_allowed_pct?: AbvPct;
}

/** Delle units, 4.5 x % vol + sugar(g/L)/10: from about 78 a sweet wine does not ferment. */
export function delleUnits(abv_pct: AbvPct, sugar_g_l: GramsPerLitre): number {
  requireNumber('abv_pct', abv_pct, 0, 100, '% vol');
  requireNumber('sugar_g_l', sugar_g_l, 0, 900, 'g/L');
  return 4.5 * abv_pct + sugar_g_l / 10;
}

/** About the temperature from which the vapour over a liquid can be lit. */
export function flashPointC(abv_pct: AbvPct): Celsius {
  requireNumber('abv_pct', abv_pct, 5, 96, '% vol');
  const at = FLASH_POINT.findIndex(([strength = 0]) => strength >= abv_pct);
  const [strength = 0, temp = 0] = FLASH_POINT[at < 0 ? FLASH_POINT.length - 1 : at] ?? [];
  const [weaker = strength, warmer = temp] = FLASH_POINT[at - 1] ?? [];
  if (at <= 0) return temp as Celsius;
  return (((temp - warmer) / (strength - weaker)) * (abv_pct - weaker) + warmer) as Celsius;
}

/** Judges whether a batch keeps in wood at room temperature. */
function keepingGuard(abv: number, units: number, is_wine_based: boolean, is_slack: boolean): Guard | null {
  const shown = decimals(abv, 1);
  let found: Guard;
  if (abv < 15) {
    const reason = `At ${shown} % vol film yeast and vinegar bacteria grow; at least 15 is needed.`;
    found = { level: 'stop', code: 'too_weak', reason };
  } else if (abv < 18 || units < 78) {
    const reason = `At ${shown} % vol yeast or bacteria may grow: weeks only, cool, barrel full.`;
    found = { level: 'strong_warning', code: 'may_spoil', reason };
  } else if (abv < 22 && is_wine_based) {
    const reason = `A wine-based mix at ${shown} % vol: taste for vinegar every week and keep it full.`;
    found = { level: 'warning', code: 'wine_based', reason };
  } else if (is_wine_based || is_slack) {
    const reason = 'Nothing is expected to grow, but air will change a wine-based mix or a slack barrel.';
    found = { level: 'note', code: 'oxidises', reason };
  } else return null;
  if (!is_slack) return found;
  const louder = Math.min(GUARD_LEVELS.indexOf(found.level) + 1, GUARD_LEVELS.length - 1);
  const reason = `${found.reason} The barrel is not full, which makes it worse.`;
  return { ...found, level: GUARD_LEVELS[louder] ?? 'stop', reason };
}

/** Warns about fire where the vapour can be lit. */
function fireGuards(abv: number, cellar_temp_c: Celsius | undefined): Guard[] {
  if (abv < 24) return [];
  const lights_at = flashPointC(Math.min(abv, 96) as AbvPct);
  const from = `from about ${decimals(lights_at, 0)} °C`;
  const flame = 'no flame, no smoking, no open element while filling';
  const found: Guard[] = [
    { level: 'note', code: 'flammable', reason: `Vapour can be lit ${from}: ${flame}.` },
  ];
  if (cellar_temp_c !== undefined) {
    requireNumber('cellar_temp_c', cellar_temp_c, -20, 45, 'degrees Celsius');
    if (cellar_temp_c >= lights_at - 5) {
      const room = `The room, ${decimals(cellar_temp_c, 0)} °C, is close to that`;
      const reason = `${room}: ventilate well and wipe up spills at once.`;
      found.push({ level: 'warning', code: 'warm_room', reason });
    }
  } else if (abv >= 50) {
    const reason = 'At 50 % vol and more ventilate, and keep something to soak up spills at hand.';
    found.push({ level: 'warning', code: 'ventilate', reason });
  }
  return found;
}

/** The warnings about a mix before it goes into wood, the loudest first. A stop needs an override with a reason. */
export function mixGuards(abv_pct: AbvPct, circumstances: MixCircumstances = {}): Guard[] {
  const { sugar_g_l = 0 as GramsPerLitre, ingredients = [], allergens = [] } = circumstances;
  const { is_wine_based = false, fill_fraction = 1, weeks_slack = 0 } = circumstances;
  const { cellar_temp_c, strongest_allowed_pct = 62.5 } = circumstances;
  requireNumber('abv_pct', abv_pct, 0, 100, '% vol');
  const units = delleUnits(abv_pct, sugar_g_l);
  requireNumber('fill_fraction', fill_fraction, 0, 1.1, 'of the capacity');
  requireNumber('weeks_slack', weeks_slack, 0, null, 'weeks');
  requireWithin('strongest_allowed_pct', strongest_allowed_pct, 'abv_pct');
  const found: Guard[] = [];
  const keeping = keepingGuard(abv_pct, units, is_wine_based, fill_fraction < 0.8 && weeks_slack > 2);
  if (keeping) found.push(keeping);
  const shown = decimals(abv_pct, 1);
  if (abv_pct > 70) {
    const reason = `${shown} % vol is above 70: its vapour lights at room temperature.`;
    found.push({ level: 'stop', code: 'too_strong', reason });
  } else if (abv_pct > strongest_allowed_pct) {
    const reason = `${shown} % vol is above ${sixDigits(strongest_allowed_pct)}, the most that is usual in wood.`;
    found.push({ level: 'warning', code: 'strong', reason });
  }
  for (const kind of new Set(ingredients)) {
    requireChoice('ingredients', kind, INGREDIENT_KINDS);
    const [never, clogs] = [FORBIDDEN_IN_WOOD[kind], CLOGS_WOOD[kind]];
    if (never)
      found.push({ level: 'stop', code: `never_in_wood_${kind}`, reason: `Not into wood: ${never}.` });
    else if (clogs) found.push({ level: 'warning', code: `clogs_${kind}`, reason: `Careful: ${clogs}.` });
  }
  for (const name of new Set(allergens)) {
    requireChoice('allergens', name, ALLERGENS);
    const word = name.replaceAll('_', ' ');
    const reason = `${word.charAt(0).toUpperCase()}${word.slice(1)}: marks the barrel for life and every later label.`;
    found.push({ level: 'warning', code: `allergen_${name}`, reason });
  }
  found.push(...fireGuards(abv_pct, cellar_temp_c));
  return found.sort((a, b) => GUARD_LEVELS.indexOf(b.level) - GUARD_LEVELS.indexOf(a.level));
}
