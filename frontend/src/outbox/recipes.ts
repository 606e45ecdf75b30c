/** The recipe book as this phone shows it: as last read, with what is written here and not yet sent laid over it. */

import { computed, type ReadonlySignal } from '@preact/signals';
import { session } from '../api/session.ts';
import type { Recipe, RecipePart, Uuid } from '../api/types.ts';
import { readRecipes } from '../store/club.ts';
import { counts, type OutboxEntry } from './entry.ts';
import { outboxEntries } from './queue.ts';

export interface ShownRecipe extends Recipe {
  /** Null while it says something that only this phone knows: the server has no number for it yet. */
  here_version: number | null;
}

const PART = { kind: null, sugar_g_l: 0, allergens: null, bottle_ml: null, bottle_cost_minor: null };

const partsOf = (parts: unknown): RecipePart[] =>
  (parts as Partial<RecipePart>[]).map((part) => ({ ...PART, ...part }) as RecipePart);

/** A recipe that was written here. */
function written(entry: OutboxEntry, me: Uuid): ShownRecipe {
  const body = entry.body as Partial<Recipe> & Pick<Recipe, 'name' | 'spirit' | 'family' | 'parts'>;
  return {
    planned_days: null,
    note: '',
    is_club: false,
    is_put_away: false,
    ...body,
    id: entry.target,
    version: 1,
    owner: me,
    is_mine: true,
    may_edit: true,
    changed_at: new Date(entry.made_at_ms).toISOString(),
    parts: partsOf(body.parts),
    here_version: null,
  };
}

/** Lays entries over the recipes as read; exported for its tests. */
export function overlaidRecipes(
  read: readonly Recipe[],
  entries: readonly OutboxEntry[],
  me: Uuid,
): ShownRecipe[] {
  const rows = new Map<Uuid, ShownRecipe>(read.map((row) => [row.id, { ...row, here_version: row.version }]));
  for (const entry of entries) {
    if (entry.collection !== 'recipes' || !counts(entry)) continue;
    const known = rows.get(entry.target);
    if (entry.base_version === null) {
      if (!known) rows.set(entry.target, written(entry, me));
    } else if (known && entry.base_version >= known.version) {
      const { parts, ...changes } = entry.body as Partial<Recipe>;
      const laid = { ...known, ...changes, ...(parts ? { parts: partsOf(parts) } : {}) };
      rows.set(entry.target, { ...laid, here_version: null });
    }
  }
  return [...rows.values()].sort((a, b) => a.name.localeCompare(b.name));
}

export const recipes: ReadonlySignal<ShownRecipe[]> = computed(() =>
  overlaidRecipes(readRecipes.value, outboxEntries.value, session.value.person?.id ?? ''),
);

export function recipeBy(id: Uuid): ShownRecipe | undefined {
  return recipes.value.find((one) => one.id === id);
}
