/** What may be poured into a mix, and what it may do to somebody, in words. */

import type { Allergen, Ingredient } from '~/api/types.ts';
import { ASSUMED_SUGAR_G_L } from '~/science/blending.ts';
import { INGREDIENT_KINDS } from '~/science/tables.ts';

const KINDS: Record<Ingredient, string> = {
  spirit: 'Spirit',
  liqueur: 'Liqueur',
  fortified_wine: 'Fortified wine',
  aromatised_wine: 'Aromatised wine',
  wine: 'Wine',
  bitters: 'Bitters',
  syrup: 'Syrup',
  honey: 'Honey',
  water: 'Water',
  juice: 'Juice',
  fruit_puree: 'Fruit purée',
  fresh_herbs: 'Fresh herbs',
  carbonated: 'Carbonated',
  dairy: 'Milk or cream',
  cream_liqueur: 'Cream liqueur',
  egg: 'Egg',
};

export const KIND_OPTIONS = INGREDIENT_KINDS.map((kind) => ({ value: kind as string, label: KINDS[kind] }));

const ALLERGENS: Record<Allergen, string> = {
  gluten_cereals: 'cereals with gluten',
  crustaceans: 'crustaceans',
  egg: 'egg',
  fish: 'fish',
  peanut: 'peanut',
  soya: 'soya',
  milk: 'milk',
  nuts: 'nuts',
  celery: 'celery',
  mustard: 'mustard',
  sesame: 'sesame',
  sulphites: 'sulphites',
  lupin: 'lupin',
  molluscs: 'molluscs',
};

export const ALLERGEN_OPTIONS = (Object.keys(ALLERGENS) as Allergen[]).map((value) => ({
  value,
  label: ALLERGENS[value],
}));

export function allergenWord(name: string): string {
  return ALLERGENS[name as Allergen] ?? name.replaceAll('_', ' ');
}

/** Plain spirit and water need no allergen line; of anything else the bottle says it. */
export function hasLabelToRead(kind: Ingredient | null): boolean {
  return kind !== 'spirit' && kind !== 'water';
}

/** Sugar to assume when a label is silent; null where nothing can be assumed. */
export function assumedSugarGL(kind: Ingredient | null): number | null {
  return kind === null ? null : (ASSUMED_SUGAR_G_L[kind] ?? null);
}

const WINES: ReadonlySet<string> = new Set(['wine', 'fortified_wine', 'aromatised_wine']);
export const isWine = (kind: string | null): boolean => kind !== null && WINES.has(kind);
