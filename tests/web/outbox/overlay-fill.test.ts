import { beforeAll, describe, expect, test } from 'vitest';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { lifeFetched, overlaidBarrel } from '~/outbox/overlay.ts';
import { barrel, CLUB, MEMBER, NEAP, NOON_MS } from '../cast.ts';

const ready = barrel({
  state: 'ready',
  contents: null,
  timeline: [{ kind: 'curing', from: '2026-02-20T12:00:00Z', to: '2026-02-28T12:00:00Z', name: null }],
});
const act = (collection: string, body: Record<string, unknown>, order: number): OutboxEntry => ({
  ...makeEntry({
    club: CLUB,
    author: MEMBER,
    collection,
    body: { happened_at: `2026-03-01T12:00:0${order}Z`, barrel: NEAP, ...body },
    now_ms: NOON_MS,
  }),
  order,
});
const FILL = {
  name: 'Rye with aperitif',
  spirit: 'cocktail',
  family: 'cocktail',
  parts: [
    { name: 'rye', volume_l: 3, abv_pct: 46, allergens: [] },
    { name: 'aperitif', volume_l: 1.5, abv_pct: 22, allergens: ['sulphites'] },
  ],
  sharers: [{ person: MEMBER, weight: 2 }],
};

beforeAll(lifeFetched);

describe('a fill that only this phone knows of', () => {
  const fill = act('fills', FILL, 1);

  test('fills its barrel at once', () => {
    const shown = overlaidBarrel(ready, [fill]);
    expect(shown.state).toBe('filled');
    expect(shown.contents).toMatchObject({
      stay: fill.id,
      name: 'Rye with aperitif',
      start_volume_l: 4.5,
      allergens: ['sulphites'],
      sharers: [{ person: MEMBER, weight: 2 }],
      sample_budget_ml: 180,
    });
    expect(shown.timeline.at(-1)).toMatchObject({ kind: 'fill', to: null });
  });
  test('may be tasted, and the taste counts', () => {
    const taste = act('tastings', { fill: fill.id, sample_ml: 10, liking: 7 }, 2);
    expect(overlaidBarrel(ready, [fill, taste]).contents?.sample_used_ml).toBe(10);
  });
  test('ends the hold it was poured into', () => {
    const held = {
      ...ready,
      state: 'held' as const,
      timeline: [{ kind: 'hold' as const, from: '2026-02-01T12:00:00Z', to: null, name: null }],
    };
    expect(overlaidBarrel(held, [fill]).timeline.map((stay) => stay.to)).toEqual([
      '2026-03-01T12:00:01Z',
      null,
    ]);
  });
  test('does not displace what the server says is in it', () => {
    expect(overlaidBarrel(barrel(), [fill]).contents?.name).toBe('Rye');
  });
  test('is gone once it was decanted here too, was sent back, or only corrects an older one', () => {
    const decant = act('decants', { measured_volume_l: 4 }, 2);
    expect(overlaidBarrel(ready, [fill, decant])).toMatchObject({ state: 'empty', contents: null });
    expect(overlaidBarrel(ready, [{ ...fill, state: 'refused' }]).state).toBe('ready');
    expect(overlaidBarrel(ready, [act('fills', { ...FILL, replaces: fill.id }, 1)]).state).toBe('ready');
  });
});

describe('a correction of the fill that is in a barrel', () => {
  const filled = barrel();
  const stay = filled.contents!.stay;
  const anew = act('fills', { ...FILL, replaces: stay }, 1);

  test('is seen at once, and the stay and what was tasted of it remain', () => {
    const shown = overlaidBarrel(filled, [anew]);
    expect(shown.state).toBe('filled');
    expect(shown.contents).toMatchObject({
      stay,
      name: 'Rye with aperitif',
      start_volume_l: 4.5,
      start_abv_pct: null,
      sample_used_ml: filled.contents!.sample_used_ml,
    });
    expect(shown.contents?.allergens).toContain('sulphites');
  });
  test('may be corrected again, and one of another entry is not for it', () => {
    const again = act('fills', { ...FILL, name: 'Rye, once more', replaces: anew.id }, 2);
    expect(overlaidBarrel(filled, [anew, again]).contents?.name).toBe('Rye, once more');
    expect(overlaidBarrel(filled, [again]).contents?.name).toBe(filled.contents!.name);
  });
  test('of its name alone leaves what the server worked out', () => {
    const { name: _, parts, ...rest } = filled.contents!;
    const renamed = act('fills', { ...FILL, name: 'Another name', parts: parts ?? [], replaces: stay }, 1);
    const shown = overlaidBarrel({ ...filled, contents: { ...rest, name: _, parts: parts ?? [] } }, [
      renamed,
    ]);
    expect(shown.contents).toMatchObject({ name: 'Another name', start_abv_pct: rest.start_abv_pct });
  });
  test('that was sent back is not shown', () =>
    expect(overlaidBarrel(filled, [{ ...anew, state: 'refused' }]).contents?.name).toBe(
      filled.contents!.name,
    ));
});
