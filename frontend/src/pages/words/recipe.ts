/** A recipe in words, and the form it is written in. */

import type { Allergen, Family, Ingredient, Recipe, RecipePart, Spirit } from '~/api/types.ts';
import type { Bodies } from '~/outbox/bodies.ts';
import { blend } from '~/science/blending.ts';
import { abvPct, litres as asLitres, gramsPerLitre } from '~/science/units.ts';
import { assumedSugarGL } from './ingredients.ts';
import { USUAL_BOTTLE_ML } from './mix-plan.ts';
import { listed } from './numbers.ts';

/** "rye and herbal aperitif; about 38 % vol" */
export function recipeLine(recipe: Pick<Recipe, 'parts' | 'is_club'>): string {
  const what = listed(recipe.parts.map((part) => part.name));
  const strength = strengthOf(recipe.parts);
  return strength === null ? what : `${what}; about ${Math.round(strength)}\u00a0%\u00a0vol`;
}

/** What its proportions make; null where a part is no liquid. */
export function strengthOf(
  parts: readonly Pick<RecipePart, 'volume_l' | 'abv_pct' | 'sugar_g_l'>[],
): number | null {
  try {
    return blend(
      parts.map((part) => ({
        volume_l: asLitres(part.volume_l),
        abv_pct: abvPct(part.abv_pct),
        sugar_g_l: gramsPerLitre(part.sugar_g_l),
      })),
    ).abv_pct;
  } catch {
    return null;
  }
}

export interface RecipeFormPart {
  key: string;
  name: string;
  kind: Ingredient;
  volume_l: number | null;
  abv_pct: number | null;
  /** Null: take what such a bottle usually holds. */
  sugar_g_l: number | null;
  allergens: Allergen[] | null;
  bottle_ml: number | null;
  bottle_cost_minor: number | null;
}

export interface RecipeForm {
  name: string;
  spirit: Spirit;
  family: Family;
  parts: RecipeFormPart[];
  note: string;
  is_club: boolean;
}

export function newPart(key: string, kind: Ingredient = 'spirit'): RecipeFormPart {
  return {
    key,
    name: kind === 'water' ? 'water' : '',
    kind,
    volume_l: null,
    abv_pct: kind === 'water' ? 0 : null,
    sugar_g_l: null,
    allergens: null,
    bottle_ml: USUAL_BOTTLE_ML,
    bottle_cost_minor: null,
  };
}

export function newForm(is_club: boolean): RecipeForm {
  return {
    name: '',
    spirit: 'cocktail',
    family: 'cocktail',
    parts: [newPart('0'), newPart('1', 'liqueur')],
    note: '',
    is_club,
  };
}

export function formOf(recipe: Recipe): RecipeForm {
  const { name, spirit, family, note, is_club } = recipe;
  const parts = recipe.parts.map((part, i) => ({
    ...part,
    key: String(i),
    kind: part.kind ?? ('spirit' as Ingredient),
    allergens: (part.allergens ?? null) as Allergen[] | null,
    bottle_ml: part.bottle_ml ?? null,
    bottle_cost_minor: part.bottle_cost_minor ?? null,
  }));
  return { name, spirit, family, note, is_club, parts };
}

/** Why it cannot be kept yet, by field. */
export function formProblems(form: RecipeForm): Record<string, string> {
  const found: Record<string, string> = {};
  if (form.name.trim() === '') found.name = 'It needs a name.';
  if (form.parts.length === 0) found.parts = 'It needs at least one part.';
  for (const part of form.parts) {
    if (part.name.trim() === '') found[`${part.key}.name`] = 'It needs a name.';
    if (part.volume_l === null || part.volume_l <= 0) found[`${part.key}.volume`] = 'How much of it?';
    if (part.abv_pct === null) found[`${part.key}.abv`] = 'How strong is it?';
  }
  if (Object.keys(found).length === 0 && strengthOf(filled(form.parts)) === null) {
    found.parts = 'A part cannot be that strong and that sweet at once.';
  }
  return found;
}

function filled(parts: readonly RecipeFormPart[]) {
  return parts.map((part) => ({
    name: part.name.trim(),
    kind: part.kind,
    volume_l: part.volume_l ?? 0,
    abv_pct: part.abv_pct ?? 0,
    sugar_g_l: part.sugar_g_l ?? assumedSugarGL(part.kind) ?? 0,
    allergens: part.allergens,
    bottle_ml: part.bottle_ml,
    bottle_cost_minor: part.bottle_cost_minor,
  }));
}

export function formBody(form: RecipeForm): Omit<Bodies['recipes'], 'note'> & { note: string } {
  return {
    name: form.name.trim(),
    spirit: form.spirit,
    family: form.family,
    parts: filled(form.parts),
    note: form.note.trim(),
    is_club: form.is_club,
  };
}

/** What an edit names: only what differs, so that an edit of the note cannot undo somebody's new amounts. */
export function formChanges(form: RecipeForm, recipe: Recipe): Record<string, unknown> {
  const body = formBody(form) as Record<string, unknown>;
  const before = formBody(formOf(recipe)) as Record<string, unknown>;
  return Object.fromEntries(
    Object.entries(body).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(before[name])),
  );
}
