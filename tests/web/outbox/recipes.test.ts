import { describe, expect, test } from 'vitest';
import type { Recipe } from '~/api/types.ts';
import { makeEdit, makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { overlaidRecipes } from '~/outbox/recipes.ts';
import { CLUB, MEMBER, NOON_MS } from '../cast.ts';

const ID = '99999999-9999-7999-8999-999999999999';
const part = { name: 'rye', volume_l: 1, abv_pct: 50 };
const book = (more: Partial<Recipe> = {}): Recipe => ({
  id: ID,
  version: 3,
  owner: MEMBER,
  is_mine: true,
  may_edit: true,
  changed_at: '2026-02-01T12:00:00Z',
  name: 'Rye, plain',
  spirit: 'whisky',
  family: 'spirit',
  parts: [{ ...part, kind: 'spirit', sugar_g_l: 0, allergens: [], bottle_ml: null, bottle_cost_minor: null }],
  planned_days: null,
  note: '',
  is_club: true,
  is_put_away: false,
  ...more,
});
const common = { club: CLUB, author: MEMBER, collection: 'recipes', now_ms: NOON_MS };
const put = (body: Record<string, unknown>): OutboxEntry => ({
  ...makeEntry({ ...common, id: ID, body }),
  order: 1,
});
const patch = (
  body: Record<string, unknown>,
  base_version: number,
  more: Partial<OutboxEntry> = {},
): OutboxEntry => ({
  ...makeEdit({ ...common, target: ID, base_version, body }),
  order: 2,
  ...more,
});
const NEW = { name: 'Mine', spirit: 'rum', family: 'spirit', parts: [part] };

describe('the recipe book on this phone', () => {
  test('a recipe written without signal is there at once, with no number yet', () => {
    const [row] = overlaidRecipes([], [put(NEW)], MEMBER);
    expect(row).toMatchObject({ id: ID, name: 'Mine', is_mine: true, may_edit: true, here_version: null });
    expect(row?.parts[0]).toMatchObject({ name: 'rye', sugar_g_l: 0, allergens: null });
  });
  test('once the feed brought it, what was written is no longer laid over it', () => {
    const rows = overlaidRecipes([book({ name: 'Renamed by the keeper' })], [put(NEW)], MEMBER);
    expect(rows.map((row) => [row.name, row.here_version])).toEqual([['Renamed by the keeper', 3]]);
  });
  test('an unsent change shows, and only that', () => {
    const [row] = overlaidRecipes([book()], [patch({ note: 'drier' }, 3)], MEMBER);
    expect(row).toMatchObject({ name: 'Rye, plain', note: 'drier', version: 3, here_version: null });
  });
  test('a change against a version that is no longer the newest shows theirs', () => {
    const [row] = overlaidRecipes([book({ version: 4 })], [patch({ note: 'drier' }, 3)], MEMBER);
    expect(row).toMatchObject({ note: '', here_version: 4 });
  });
  test('a change that was sent back counts for nothing', () => {
    const [row] = overlaidRecipes([book()], [patch({ note: 'drier' }, 3, { state: 'refused' })], MEMBER);
    expect(row).toMatchObject({ note: '', here_version: 3 });
  });
  test('two changes one after the other both show', () => {
    const rows = overlaidRecipes([book()], [patch({ note: 'drier' }, 3), patch({ name: 'Rye' }, 3)], MEMBER);
    expect(rows[0]).toMatchObject({ note: 'drier', name: 'Rye' });
  });
});
