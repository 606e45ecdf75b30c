import { describe, expect, test } from 'vitest';
import type { Recipe } from '~/api/types.ts';
import {
  amountWords,
  detailSentences,
  guardLines,
  makesSentence,
  mixBody,
  moneyWords,
  plannedWords,
  planSentence,
  pourWords,
  typedAmountL,
} from '~/pages/words/mix.ts';
import {
  type MixDraft,
  mixFromRecipe,
  mixOf,
  plainMix,
  pouredEarlier,
  stopsOf,
  woodStateOf,
} from '~/pages/words/mix-plan.ts';
import { barrel, MEMBER, NOON_MS } from '../cast.ts';

const CELLAR = { now_ms: NOON_MS, temp_c: 12, drink_g: 10 };
const cured = (capacity_l = 5) =>
  barrel({
    capacity_l,
    nominal_l: capacity_l,
    capacity_basis: 'weighed',
    state: 'ready',
    contents: null,
    timeline: [{ kind: 'curing', from: '2026-02-20T12:00:00Z', to: '2026-02-28T12:00:00Z', name: null }],
    max_abv_pct: 62.5,
  });

const part = (name: string, volume_l: number, abv_pct: number, more = {}) => ({
  name,
  kind: 'spirit' as const,
  volume_l,
  abv_pct,
  sugar_g_l: 0,
  allergens: [] as string[],
  bottle_ml: 700,
  bottle_cost_minor: null,
  ...more,
});

const recipe = (parts: Recipe['parts'], more: Partial<Recipe> = {}): Recipe => ({
  id: '99999999-9999-7999-8999-999999999999',
  version: 3,
  owner: MEMBER,
  is_mine: true,
  may_edit: true,
  changed_at: '2026-02-01T12:00:00Z',
  name: 'Rye with herbal aperitif',
  spirit: 'cocktail',
  family: 'cocktail',
  parts,
  planned_days: null,
  note: '',
  is_club: true,
  is_put_away: false,
  ...more,
});

/** Three equal parts: the worked blend of docs/science/blending.md (OIML R 22 densities; sugar takes 0.62 L/kg). */
const THREE = recipe([
  part('rye', 1.5, 45),
  part('liqueur', 1.5, 24, { kind: 'liqueur', sugar_g_l: 250 }),
  part('vermouth', 1.5, 16, { kind: 'aromatised_wine', sugar_g_l: 150 }),
]);
const draftOf = (from: Recipe, more: Partial<MixDraft> = {}): MixDraft => ({
  ...mixFromRecipe(from, from.version),
  ...more,
});
const mixed = (draft: MixDraft, into = cured()) => mixOf(draft, into, CELLAR);

describe('a recipe scaled to a barrel', () => {
  test('fills what the weighed capacity leaves under the headroom, contraction counted', () => {
    const mix = mixed(draftOf(THREE));
    expect(mix.in_barrel_l).toBeCloseTo(5 * 0.96, 9);
    expect(mix.empty_l).toBeCloseTo(0.2, 9);
    expect(mix.abv_pct).toBeCloseTo(28.38, 2);
    expect(mix.sugar_g_l).toBeCloseTo(133.6, 1);
    // 8 mL of 4.5 L are lost.
    expect(mix.contraction_l / mix.poured_l).toBeCloseTo(0.008 / 4.5, 4);
  });

  test('its levels rise in the order of pouring up to the last line', () => {
    const levels = mixed(draftOf(THREE)).parts.map((row) => row.level);
    expect(levels).toEqual([...levels].sort((a, b) => a - b));
    expect(levels.at(-1)).toBeGreaterThan(0.85);
    expect(levels.at(-1)).toBeLessThan(1);
  });

  test('with the wood’s share kept back more is mixed and no more is poured in', () => {
    const plain = mixed(draftOf(THREE));
    const kept = mixed(draftOf(THREE, { keep_back: true }));
    expect(kept.in_barrel_l).toBeCloseTo(plain.in_barrel_l, 9);
    expect(kept.mixed_l - kept.in_barrel_l).toBeCloseTo(plain.for_the_wood_l, 9);
    expect(mixBody(draftOf(THREE, { keep_back: true }), kept, cured()).volume_l).toBeCloseTo(4.8, 4);
  });

  test('water and spirit shrink as the regulation’s example says', () => {
    // 27 CFR 30.66, example 1: reducing spirit takes more water than the volumes say; 60 to 40 % vol takes 0.514 L a litre.
    const draft = draftOf(recipe([part('spirit', 1, 60), part('water', 0.514, 0, { kind: 'water' })]));
    expect(mixed(draft).abv_pct).toBeCloseTo(40, 1);
    expect(mixed(draft).contraction_l).toBeGreaterThan(0);
  });

  test('cold liquids are measured smaller than they are at 20 °C', () => {
    const warm = mixed(draftOf(THREE));
    const cold = mixed(draftOf(THREE, { temp_c: 5 }));
    expect(cold.in_barrel_l).toBeCloseTo(warm.in_barrel_l, 9);
    expect(cold.poured_l).toBeLessThan(warm.poured_l);
  });
});

describe('what was really poured', () => {
  const actual = (poured: MixDraft['parts'][number]['poured']) => {
    const draft = draftOf(THREE);
    return { ...draft, parts: draft.parts.map((one, i) => (i === 0 ? { ...one, poured } : one)) };
  };

  test('replaces the plan, and the plan stays beside it', () => {
    const mix = mixed(actual({ volume_l: 1.2 }));
    expect(mix.parts[0]).toMatchObject({ volume_l: 1.2, is_poured: true });
    expect(mix.parts[0]?.planned_l).toBeCloseTo(1.603, 3);
    expect(mix.abv_pct).toBeLessThan(28);
    const body = mixBody(actual({ volume_l: 1.2 }), mix, cured());
    expect(body.parts[0]?.volume_l).toBe(1.2);
    expect(body.plan?.parts[0]?.volume_l).toBeCloseTo(1.603, 3);
  });

  test('by weight it is the volume that weight has', () => {
    // 10 kg on a scale in air of 45 % vol is 10.655 L (OIML R 22; air 1.2, weights 8000 kg/m3).
    const mix = mixed(actual({ mass_kg: 10 }), cured(30));
    expect(mix.parts[0]?.volume_l).toBeCloseTo(10.655, 3);
    expect(mixBody(actual({ mass_kg: 10 }), mix, cured(30)).parts[0]).toMatchObject({ mass_kg: 10 });
  });

  test('a weight is the same liquid however cold it is', () => {
    const cold = mixed({ ...actual({ mass_kg: 10 }), temp_c: 5 }, cured(30));
    expect(cold.parts[0]?.mass_kg).toBeCloseTo(10, 6);
    expect(cold.parts[0]?.volume_l).toBeLessThan(10.655);
  });

  test('the order of pouring is kept', () => {
    const draft = draftOf(THREE);
    const moved = { ...draft, parts: pouredEarlier(draft.parts, '1') };
    const names = (one: MixDraft) => mixBody(one, mixed(one), cured()).parts.map((row) => row.name);
    expect(names(draft)).toEqual(['rye', 'liqueur', 'vermouth']);
    expect(names(moved)).toEqual(['liqueur', 'rye', 'vermouth']);
    expect(pouredEarlier(draft.parts, '0').map((one) => one.key)).toEqual(['0', '1', '2']);
  });

  test('a part that was left out is not sent as poured', () => {
    const mix = mixed(actual({ volume_l: 0 }));
    expect(mixBody(actual({ volume_l: 0 }), mix, cured()).parts).toHaveLength(2);
  });
});

describe('units as the cook thinks', () => {
  test.each([
    ['L', '2.60\u00a0L'],
    ['mL', '2600\u00a0mL'],
    ['fl oz', '87.9\u00a0fl\u00a0oz'],
    ['bottles', '3.7\u00a0bottles'],
  ] as const)('2.6 L in %s', (unit, words) => expect(amountWords(2.6, unit, { bottle_ml: 700 })).toBe(words));
  test('a dash is no 0.00 L', () => expect(amountWords(0.012, 'L')).toBe('12.0\u00a0mL'));
  test('what is typed comes back as litres', () => {
    expect(typedAmountL('25', 'fl oz')).toBeCloseTo(0.7393, 4);
    expect(typedAmountL('1,5', 'bottles', { bottle_ml: 750 })).toBeCloseTo(1.125, 9);
    expect(typedAmountL('-1', 'L')).toBeNull();
    expect(typedAmountL('a drop', 'mL')).toBeNull();
    expect(typedAmountL('9000', 'L')).toBeNull();
  });
  test('by weight the scale’s figure stands large', () => {
    const row = mixed(draftOf(THREE)).parts[0]!;
    expect(pourWords(row, { unit: 'L', by: 'weight' })).toMatch(/^1\.5\d\d\u00a0kg$/);
  });
});

describe('what stands against it', () => {
  const only = (...parts: Recipe['parts']) => mixed(draftOf(recipe(parts)));

  test('egg and milk never go into wood, and nobody may choose to', () => {
    const mix = only(part('rum', 1, 50), part('milk', 0.5, 0, { kind: 'dairy', allergens: ['milk'] }));
    expect(stopsOf(mix)).toMatchObject({ isFinal: true });
    expect(guardLines(mix)[0]).toMatchObject({ level: 'stop' });
  });
  test('too weak stops, and may be overridden with a reason', () => {
    const mix = only(part('wine', 1, 12, { kind: 'wine' }));
    expect(stopsOf(mix).all.map((guard) => guard.code)).toEqual(['too_weak']);
    expect(stopsOf(mix).isFinal).toBe(false);
  });
  test('a plain spirit has nothing against it', () => {
    const lines = guardLines(mixed(plainMix('rye', 'whisky', 'spirit', 55)));
    expect(lines.at(-1)).toEqual({
      level: 'well',
      words: 'Strong enough to keep. Nothing in it that harms the wood.',
    });
    expect(lines.some((line) => line.level === 'stop')).toBe(false);
  });
  test('a label nobody has read is asked for', () => {
    const mix = only(part('rye', 1, 46), part('aperitif', 1, 22, { kind: 'liqueur', allergens: null }));
    expect(guardLines(mix)).toContainEqual({
      level: 'missing',
      words: 'Aperitif’s allergen line is missing.',
    });
  });
  test('more than the barrel holds is said before it is on the floor', () => {
    const draft = draftOf(THREE);
    const full = mixed({ ...draft, parts: draft.parts.map((one) => ({ ...one, poured: { volume_l: 2 } })) });
    expect(guardLines(full)[0]?.words).toContain('more than the barrel holds');
  });
});

describe('what it makes, in words', () => {
  test('volume and strength say how well they are known', () => {
    expect(makesSentence(mixed(draftOf(THREE)))).toMatch(
      /^About 4\.8\u00a0L, calculated (about )?2[78](\.\d)?( to 2[89](\.\d)?)?\u00a0%\u00a0vol\.$/,
    );
  });
  test('weighing narrows the strength', () => {
    const width = (by: MixDraft['by']) => {
      const mix = mixed(draftOf(THREE, { by }));
      return mix.abv_high_pct - mix.abv_low_pct;
    };
    expect(width('weight')).toBeLessThan(width('volume'));
  });
  test('cost counts the bottles, and says when a price is missing', () => {
    const priced = recipe([
      part('rye', 1, 46, { bottle_cost_minor: 2800 }),
      part('aperitif', 1, 22, { kind: 'liqueur', bottle_cost_minor: null }),
    ]);
    const mix = mixed(draftOf(priced));
    expect(mix.cost_minor).toBe(Math.round((mix.parts[0]!.volume_l / 0.7) * 2800));
    expect(detailSentences(mix, 'GBP').join(' ')).toContain('without what has no price yet');
    expect(moneyWords(2850, 'GBP')).toBe('£28.50');
    expect(moneyWords(2850, 'JPY')).toBe('JP¥2,850');
  });
  test('standard drinks are those of the club', () => {
    // 4.8 L of 55 % vol hold 4.8 x 0.55 x 789.24 g = 2083.6 g (OIML R 22: ethanol at 20 °C).
    expect(mixed(plainMix('rye', 'whisky', 'spirit', 55)).drinks).toBeCloseTo(208.4, 1);
    // A unit of the United Kingdom is 10 mL of ethanol, 8 g: 2083.6 / 8.
    const units = mixOf(plainMix('rye', 'whisky', 'spirit', 55), cured(), { ...CELLAR, drink_g: 8 });
    expect(units.drinks).toBeCloseTo(260.4, 1);
    expect(detailSentences(units, 'GBP')).toContain('260 standard drinks of 8\u00a0g.');
  });
  test('the picture is read aloud', () => {
    expect(planSentence('Fairway', mixed(draftOf(THREE)))).toMatch(
      /^Fairway filled to 3 lines: rye to 1\.\d\d litres, liqueur to 3\.\d\d and vermouth to 4\.80; 0\.20 litres stays empty\.$/,
    );
  });
});

describe('how thirsty the wood is', () => {
  const stays = (...timeline: Parameters<typeof woodStateOf>[0]['timeline']) => barrel({ timeline });
  test.each([
    ['never wet', stays(), 'dry'],
    ['cured', cured(), 'cured'],
    [
      'emptied yesterday',
      stays({ kind: 'fill', from: '2026-01-01T12:00:00Z', to: '2026-02-28T12:00:00Z', name: null }),
      'wet',
    ],
    ['in water now', stays({ kind: 'hold', from: '2026-01-01T12:00:00Z', to: null, name: null }), 'wet'],
    [
      'long empty',
      stays({ kind: 'fill', from: '2026-01-01T12:00:00Z', to: '2026-02-10T12:00:00Z', name: null }),
      'stored_dry',
    ],
  ] as const)('%s', (_what, one, state) => expect(woodStateOf(one, NOON_MS)).toBe(state));
});

describe('what was planned of a part', () => {
  const mixed = (poured_l: number) => {
    const draft = plainMix('rye', 'whisky', 'spirit', 50);
    const parts = draft.parts.map((one) => ({ ...one, poured: { volume_l: poured_l } }));
    return mixOf({ ...draft, parts }, cured(), CELLAR).parts[0]!;
  };

  test('is said in the unit that is poured in, and on the scale in kilograms, whatever was poured', () => {
    const row = mixed(3);
    expect(row.planned_l).toBeGreaterThan(4);
    expect(plannedWords(row, { unit: 'fl oz', by: 'volume' })).toMatch(/fl.oz$/);
    const kg = plannedWords(row, { unit: 'L', by: 'weight' });
    expect(kg).toMatch(/kg$/);
    expect(plannedWords(mixed(4), { unit: 'L', by: 'weight' })).toBe(kg);
    // OIML R 22: 50 % vol has 930.14 kg/m3 at 20 °C; in air a scale shows 0.1 % less.
    expect(Number.parseFloat(kg) / row.planned_l).toBeCloseTo(0.929, 2);
  });
});
