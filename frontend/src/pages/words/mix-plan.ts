/** A mix for one barrel: the recipe scaled to it, what was really poured, and what they make. Pure, and needs no signal. */

import type {
  Allergen,
  Barrel,
  Family,
  Ingredient,
  Recipe,
  RecipePart,
  Spirit,
  Vessel,
} from '~/api/types.ts';
import { pureAlcoholL, standardDrinks } from '~/science/alcoholometry.ts';
import { blend, type Part } from '~/science/blending.ts';
import { volumeAt20cL, volumeFromWeightL, weightInAirKg } from '~/science/gauging.ts';
import { dipAtVolumeCm } from '~/science/geometry.ts';
import { type Guard, mixGuards } from '~/science/guards.ts';
import { usualStaveMm } from '~/science/holding.ts';
import { planFill, SOAK_SPREAD, type WoodState } from '~/science/soaking.ts';
import {
  abvPct,
  celsius,
  days,
  fraction,
  grams,
  gramsPerLitre,
  kilograms,
  litres,
  millimetres,
  type SquareMetres,
} from '~/science/units.ts';
import { insideShape } from '../parts/inside-shape.ts';
import { isWine } from './ingredients.ts';

export type AmountUnit = 'L' | 'mL' | 'fl oz' | 'bottles';

/** What was really poured of a part, as it was measured. */
export type Poured = { volume_l: number } | { mass_kg: number };

export interface MixPart {
  key: string;
  name: string;
  kind: Ingredient | null;
  /** The recipe's amount: a proportion. Out of a vessel: the litres that were chosen. */
  share_l: number;
  abv_pct: number;
  /** How the strength of a vessel is known; a bottle has its label. */
  abv_basis?: Vessel['abv_basis'];
  sugar_g_l: number;
  /** Null while nobody has read the label. */
  allergens: Allergen[] | null;
  bottle_ml: number | null;
  bottle_cost_minor: number | null;
  /** What a litre out of a vessel cost, where that is known. */
  cost_l_minor?: number | null;
  poured: Poured | null;
  /** The vessel it comes out of: its allergens and its cost come along. */
  vessel: string | null;
  supplied_by: string | null;
}

/** What is written down on the phone from the first look at a recipe until the barrel is filled. */
export interface MixDraft {
  recipe: { id: string; version: number | null } | null;
  name: string;
  spirit: Spirit;
  family: Family;
  planned_days: number | null;
  /** In the order of pouring. */
  parts: MixPart[];
  headroom_pct: number;
  /** Whether what the wood will drink is mixed as well and kept in glass. */
  keep_back: boolean;
  unit: AmountUnit;
  by: 'volume' | 'weight';
  /** Of the liquids as they are measured. */
  temp_c: number;
  /** Why somebody pours in spite of a stop. */
  reason: string;
}

export const USUAL_BOTTLE_ML = 700;
/** US customary fluid ounce, as the server reads "fl oz" (NIST Handbook 44, Appendix C). */
export const FL_OZ_L = 0.0295735295625;
const TOP_UP_DAYS = 28;
/** Half of the 80 % interval of a normal spread, in standard deviations. */
const EIGHTY_PERCENT = 1.2816;
/** A label may be off by this (usual legal tolerance, from memory), a measuring jug and a scale by these (assumptions). */
const LABEL_OFF_PCT = 0.3;
const JUG_OFF = 0.02;
/** In small wood strength moves by about this within a fill; nobody measured since (design value of this project). */
const AS_FILLED_OFF_PCT = 2;
const SCALE_OFF = 0.002;
/** From this share of wine on, air and bacteria count (design value of this project). */
const WINE_BASED_FROM = 0.25;
const DAYS_A_WEEK = 7;

export function partOf(part: RecipePart, key: string): MixPart {
  return {
    key,
    name: part.name,
    kind: part.kind ?? null,
    share_l: part.volume_l,
    abv_pct: part.abv_pct,
    sugar_g_l: part.sugar_g_l,
    allergens: (part.allergens as Allergen[] | null) ?? null,
    bottle_ml: part.bottle_ml ?? null,
    bottle_cost_minor: part.bottle_cost_minor ?? null,
    poured: null,
    vessel: null,
    supplied_by: null,
  };
}

const START = {
  headroom_pct: 4,
  keep_back: false,
  unit: 'L',
  by: 'volume',
  temp_c: 20,
  reason: '',
} as const;

/** Begins a mix from a recipe; `version` is null while the recipe has changes only this phone knows. */
export function mixFromRecipe(recipe: Recipe, version: number | null): MixDraft {
  return {
    ...START,
    recipe: { id: recipe.id, version },
    name: recipe.name,
    spirit: recipe.spirit,
    family: recipe.family,
    planned_days: recipe.planned_days ?? null,
    parts: recipe.parts.map((part, i) => partOf(part, String(i))),
  };
}

/** Begins a mix of one plain spirit. */
export function plainMix(name: string, spirit: Spirit, family: Family, abv_pct: number): MixDraft {
  const part: RecipePart = {
    name,
    kind: 'spirit',
    volume_l: 1,
    abv_pct,
    sugar_g_l: 0,
    allergens: [],
    bottle_ml: null,
    bottle_cost_minor: null,
  };
  return { ...START, recipe: null, name, spirit, family, planned_days: null, parts: [partOf(part, '0')] };
}

/** What the wood held last decides how thirsty it is: as the server judges a fill that says nothing. */
export function woodStateOf(barrel: Barrel, now_ms: number): WoodState {
  const last = barrel.timeline.at(-1);
  if (!last) return 'dry';
  if (last.kind === 'curing') return 'cured';
  const ended = last.to === null ? now_ms : Date.parse(last.to);
  return now_ms - ended <= 7 * 86_400_000 ? 'wet' : 'stored_dry';
}

export interface PartNow {
  part: MixPart;
  /** At the temperature of the liquids. */
  volume_l: number;
  planned_l: number;
  /** What a scale in air shows. */
  mass_kg: number;
  is_poured: boolean;
  cost_minor: number | null;
  /** Where the level stands after it, as a share of the height. */
  level: number;
  /** What is in the barrel after it. */
  filled_l: number;
}

export interface Mix {
  parts: PartNow[];
  /** The sum of what is measured out, before it contracts. */
  poured_l: number;
  mixed_l: number;
  in_barrel_l: number;
  kept_back_l: number;
  empty_l: number;
  /** Over the barrel's capacity by so much. */
  over_l: number;
  abv_pct: number;
  abv_low_pct: number;
  abv_high_pct: number;
  sugar_g_l: number;
  contraction_l: number;
  soak_low_l: number;
  soak_high_l: number;
  for_the_wood_l: number;
  drinks: number;
  /** Ethanol in one of them. */
  drink_g: number;
  alcohol_l: number;
  /** Null where no price is known; `is_whole` where every part that is no water has one. */
  cost_minor: number | null;
  is_cost_whole: boolean;
  guards: Guard[];
  /** Parts whose allergens nobody has read off. */
  unread: string[];
  allergens: Allergen[];
  is_all_poured: boolean;
}

function asPart(part: MixPart, volume_l: number, temp_c: number): Part {
  return {
    volume_l: litres(volume_l),
    abv_pct: abvPct(part.abv_pct),
    sugar_g_l: gramsPerLitre(part.sugar_g_l),
    temp_c: celsius(temp_c),
  };
}

const densityOf = (part: MixPart) => blend([asPart(part, 1, 20)]).density_kg_m3;

/** The volume of a part at the liquids' temperature, whichever way it was measured. */
export function pouredL(part: MixPart, poured: Poured, temp_c: number): number {
  if ('volume_l' in poured) return poured.volume_l;
  const at20 = volumeFromWeightL(kilograms(poured.mass_kg), densityOf(part));
  // How much larger a litre is when it is warm does not hang on how much there is.
  const warm = volumeAt20cL(litres(1), abvPct(plainPct(part)), celsius(temp_c));
  return at20 / warm;
}

/** The strength of a part's water and alcohol alone, as its warmth makes it grow. */
function plainPct(part: MixPart): number {
  return part.abv_pct / (1 - (part.sugar_g_l / 1000) * 0.62);
}

/** Steps of the search below; each leaves about a hundredth of what the one before was off. */
const MOST_STEPS = 20;
const NEAR_L = 1e-10;

/**
 * What is to be poured of each part for so much of the mix. A recipe's parts are scaled; what comes out of a vessel is
 * as much as was chosen, or as was really poured, and the others fill what room it leaves.
 */
function plannedL(draft: MixDraft, wanted_l: number): number[] {
  const { temp_c } = draft;
  const chosen = draft.parts.map((part) =>
    part.vessel ? (part.poured ? pouredL(part, part.poured, temp_c) : part.share_l) : null,
  );
  const at = (scale: number): number[] => draft.parts.map((part, i) => chosen[i] ?? part.share_l * scale);
  const mixed_l = (scale: number): number => {
    const volumes = at(scale);
    if (volumes.every((volume) => volume <= 0)) return 0;
    return blend(draft.parts.map((part, i) => asPart(part, volumes[i]!, temp_c))).volume_l;
  };
  const shared_l = draft.parts.reduce((sum, part, i) => sum + (chosen[i] === null ? part.share_l : 0), 0);
  if (shared_l <= 0 || mixed_l(0) >= wanted_l) return at(0);
  let scale = 0;
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const lacking_l = wanted_l - mixed_l(scale);
    if (Math.abs(lacking_l) < NEAR_L) break;
    scale = Math.max(0, scale + lacking_l / shared_l);
  }
  return at(scale);
}

/** How far the strength may be off, by labels and by how the parts were measured. */
function strengthOff(
  parts: readonly Part[],
  abv: number,
  by: MixDraft['by'],
  off_pct: readonly number[],
): number {
  const amountOff = by === 'weight' ? SCALE_OFF : JUG_OFF;
  let squares = 0;
  for (const [i, part] of parts.entries()) {
    if (part.volume_l <= 0) continue;
    const more = parts.map((one, k) =>
      k === i ? { ...one, volume_l: litres(one.volume_l * (1 + amountOff)) } : one,
    );
    if (parts.length > 1) squares += (blend(more).abv_pct - abv) ** 2;
    const off = off_pct[i] ?? LABEL_OFF_PCT;
    const isLabelled = part.abv_pct > off;
    const weaker = parts.map((one, k) => (k === i ? { ...one, abv_pct: abvPct(one.abv_pct - off) } : one));
    if (isLabelled) squares += (blend(weaker).abv_pct - abv) ** 2;
  }
  return Math.sqrt(squares);
}

export interface Cellar {
  now_ms: number;
  temp_c: number | null;
  /** Ethanol in what the club calls a standard drink. */
  drink_g: number;
}

/** Works the mix out. Throws a ScienceError where a part is no liquid. */
export function mixOf(draft: MixDraft, barrel: Barrel, cellar: Cellar): Mix {
  const shape = insideShape(barrel);
  const capacity = barrel.capacity_l;
  const plan = planFill(
    draft.parts.map((part) => asPart(part, part.share_l, draft.temp_c)),
    {
      capacity_l: litres(capacity),
      area_m2: (shape.wood_area_cm2 / 1e4) as SquareMetres,
      stave_mm: millimetres(barrel.shape.stave_mm ?? usualStaveMm(litres(capacity))),
      wood_state: woodStateOf(barrel, cellar.now_ms),
      top_up_days: days(Math.min(draft.planned_days ?? TOP_UP_DAYS, TOP_UP_DAYS)),
      headroom_fraction: fraction(draft.headroom_pct / 100),
    },
  );
  const for_the_wood_l = plan.for_the_wood_l;
  const wanted = draft.keep_back ? plan.mixed_l : plan.poured_l;
  const planned = plannedL(draft, wanted);
  const volumes = draft.parts.map((part, i) =>
    part.poured ? pouredL(part, part.poured, draft.temp_c) : planned[i]!,
  );
  const parts = draft.parts.map((part, i) => asPart(part, volumes[i]!, draft.temp_c));
  const whole = blend(parts);
  const kept_back_l = draft.keep_back ? Math.min(for_the_wood_l, whole.volume_l) : 0;
  const in_barrel_l = whole.volume_l - kept_back_l;
  // Drawn as it rises: what is kept back is kept back of every part alike.
  const inWood = whole.volume_l > 0 ? in_barrel_l / whole.volume_l : 0;
  const costs = draft.parts.map((part, i) => costMinor(part, volumes[i]!));
  const rows = draft.parts.map((part, i): PartNow => {
    const sofar = parts.slice(0, i + 1);
    const filled = (sofar.some((one) => one.volume_l > 0) ? blend(sofar).volume_l : 0) * inWood;
    const at20 = volumeAt20cL(litres(volumes[i]!), abvPct(plainPct(part)), celsius(draft.temp_c));
    return {
      part,
      volume_l: volumes[i]!,
      planned_l: planned[i]!,
      mass_kg: weightInAirKg(at20, densityOf(part)),
      is_poured: part.poured !== null,
      cost_minor: costs[i]!,
      filled_l: filled,
      level: dipAtVolumeCm(shape, litres(Math.min(filled, capacity))) / shape.bilge_diameter_cm,
    };
  });
  const off_pct = draft.parts.map((part) =>
    part.abv_basis === 'as_filled' ? AS_FILLED_OFF_PCT : LABEL_OFF_PCT,
  );
  const off = EIGHTY_PERCENT * strengthOff(parts, whole.abv_pct, draft.by, off_pct);
  const factor = SOAK_SPREAD ** EIGHTY_PERCENT;
  const allergens = [...new Set(draft.parts.flatMap((part) => part.allergens ?? []))];
  return {
    parts: rows,
    poured_l: volumes.reduce((sum, one) => sum + one, 0),
    mixed_l: whole.volume_l,
    in_barrel_l,
    kept_back_l,
    empty_l: Math.max(0, capacity - in_barrel_l),
    over_l: Math.max(0, in_barrel_l - capacity),
    abv_pct: whole.abv_pct,
    abv_low_pct: Math.max(0, whole.abv_pct - off),
    abv_high_pct: Math.min(100, whole.abv_pct + off),
    sugar_g_l: whole.sugar_g_l,
    contraction_l: whole.contraction_l,
    soak_low_l: for_the_wood_l / factor,
    soak_high_l: for_the_wood_l * factor,
    for_the_wood_l,
    drinks: standardDrinks(whole.volume_l, whole.abv_pct, grams(cellar.drink_g)),
    drink_g: cellar.drink_g,
    alcohol_l: pureAlcoholL(whole.volume_l, whole.abv_pct),
    cost_minor: costs.some((cost) => cost !== null)
      ? costs.reduce<number>((sum, cost) => sum + (cost ?? 0), 0)
      : null,
    is_cost_whole: draft.parts.every((part, i) => costs[i] !== null || part.kind === 'water'),
    // Mixing leaves a crumb of rounding, by which 70 would be above 70.
    guards: mixGuards(abvPct(Number(whole.abv_pct.toFixed(6))), {
      sugar_g_l: whole.sugar_g_l,
      ingredients: draft.parts.flatMap((part, i) => (part.kind && volumes[i]! > 0 ? [part.kind] : [])),
      allergens,
      is_wine_based: wineShare(draft.parts, volumes) >= WINE_BASED_FROM,
      fill_fraction: fraction(Math.min(1.1, in_barrel_l / capacity)),
      weeks_slack: (draft.planned_days ?? TOP_UP_DAYS) / DAYS_A_WEEK,
      strongest_allowed_pct: abvPct(barrel.max_abv_pct),
      ...(cellar.temp_c === null ? {} : { cellar_temp_c: celsius(cellar.temp_c) }),
    }),
    unread: draft.parts
      .filter((part) => part.allergens === null && part.kind !== 'spirit' && part.kind !== 'water')
      .map((part) => part.name),
    allergens,
    is_all_poured: draft.parts.every((part) => part.poured !== null),
  };
}

function costMinor(part: MixPart, volume_l: number): number | null {
  if (part.vessel) return part.cost_l_minor == null ? null : Math.round(part.cost_l_minor * volume_l);
  if (part.bottle_cost_minor === null) return null;
  return Math.round((part.bottle_cost_minor * volume_l * 1000) / (part.bottle_ml ?? USUAL_BOTTLE_ML));
}

function wineShare(parts: readonly MixPart[], volumes: readonly number[]): number {
  const whole = volumes.reduce((sum, one) => sum + one, 0);
  const wine = parts.reduce((sum, part, i) => sum + (isWine(part.kind) ? volumes[i]! : 0), 0);
  return whole > 0 ? wine / whole : 0;
}

/** Moves a part one place earlier in the order of pouring. */
export function pouredEarlier(parts: readonly MixPart[], key: string): MixPart[] {
  const at = parts.findIndex((part) => part.key === key);
  if (at <= 0) return [...parts];
  const moved = [...parts];
  moved.splice(at - 1, 2, parts[at]!, parts[at - 1]!);
  return moved;
}

/** What stops a mix from going into wood; strength may be overridden with a reason, a forbidden ingredient never. */
export function stopsOf(mix: Mix): { all: Guard[]; isFinal: boolean } {
  const all = mix.guards.filter((guard) => guard.level === 'stop');
  return { all, isFinal: all.some((guard) => guard.code.startsWith('never_in_wood')) };
}
