import { describe, expect, test } from 'vitest';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { withLife } from '~/outbox/life.ts';
import { lifeFetched, overlaidBarrel } from '~/outbox/overlay.ts';
import { barrel, NEAP, tasting } from '../cast.ts';

const at = (hour: number): string => `2026-03-01T${String(hour).padStart(2, '0')}:00:00.000Z`;

function entry(collection: string, hour: number, body: Record<string, unknown> = {}): OutboxEntry {
  return {
    ...tasting(),
    id: `0190-${collection}-${hour}`,
    collection,
    barrel: NEAP,
    state: 'queued',
    body: { barrel: NEAP, happened_at: at(hour), ...body },
  } as unknown as OutboxEntry;
}

const empty = () => barrel({ state: 'new', contents: null, care: [] });

describe('what is only on this phone shows at once', () => {
  test('a curing that came to nothing says so, and leaves the barrel as it was before', () => {
    const left = [
      entry('curings', 8, { water_l: 2.5 }),
      entry('curing-verdicts', 12, { verdict: 'given_up' }),
    ];
    expect(withLife(empty(), left)).toMatchObject({
      state: 'new',
      tightness: { shown: 'given_up', at: at(12) },
    });
    const used = barrel({
      state: 'empty',
      contents: null,
      timeline: [{ kind: 'hold', from: at(1), to: at(2), name: null }],
    });
    expect(withLife(used, left).state).toBe('empty');
    expect(withLife(used, [...left, entry('holds', 13, { water_l: 2 })]).tightness.shown).toBe('given_up');
    expect(withLife(used, [left[0]!, entry('drainings', 9)]).tightness.shown).toBe('unfinished');
    expect(withLife(used, [entry('repairs', 9)])).toMatchObject({ tightness: { shown: 'repaired' } });
  });
  test('a curing begins, is tight, and the barrel is ready', () => {
    const begun = withLife(empty(), [entry('curings', 8, { water_l: 2.5 })]);
    expect([begun.state, begun.contents?.kind, begun.contents?.start_volume_l]).toEqual([
      'curing',
      'curing',
      2.5,
    ]);
    const tight = withLife(empty(), [
      entry('curing-verdicts', 12, { verdict: 'tight' }),
      entry('curings', 8, { water_l: 2.5 }),
    ]);
    expect([tight.state, tight.contents]).toEqual(['ready', null]);
  });

  test('two weights at the verdict are its capacity from then on', () => {
    const body = { verdict: 'tight', weighed_capacity_l: 5.1146, full_mass_kg: 8.7, wet_mass_kg: 3.6 };
    const tight = withLife(empty(), [entry('curing-verdicts', 12, body)]);
    expect([tight.capacity_l, tight.capacity_basis]).toEqual([5.1146, 'weighed']);
    expect(tight.register).toMatchObject({ weighed_capacity_l: 5.1146, wet_mass_kg: 3.6 });
  });

  test('a hold shows its water, and a change of it', () => {
    const held = withLife(empty(), [
      entry('holds', 8, { water_l: 2.5, bung_clock: 4 }),
      entry('tendings', 10, { tasks: ['water_change'], bung_clock: 8 }),
    ]);
    expect(held.state).toBe('held');
    expect(held.water?.changed_at).toBe(at(10));
    expect(held.bung_clock).toBe(8);
  });

  test('trouble is raised and settled; what is lost leaves the barrel empty', () => {
    const raised = entry('troubles', 8, { kind: 'leak', note: 'spigot' });
    expect(withLife(barrel(), [raised]).troubles.map((one) => one.kind)).toEqual(['leak']);
    const lost = entry('trouble-settlements', 9, { trouble: raised.id, outcome: 'all_lost' });
    const after = withLife(barrel(), [raised, lost]);
    expect([after.troubles, after.state, after.contents]).toEqual([[], 'empty', null]);
    const part = entry('trouble-settlements', 9, { trouble: raised.id, outcome: 'part_lost', volume_l: 0.4 });
    expect(withLife(barrel(), [raised, part]).state).toBe('filled');
  });

  test('a loan, its return, a move, a tag, a retirement', () => {
    const lent = withLife(barrel(), [entry('loans', 8, { borrower: 'next door' })]);
    expect([lent.loan?.borrower, lent.care]).toEqual(['next door', []]);
    expect(withLife(lent, [entry('loan-returns', 9)]).loan).toBeNull();
    expect(withLife(barrel(), [entry('moves', 8, { place: 'loft' })]).place).toBe('loft');
    const tagged = withLife(barrel(), [entry('tag-issues', 8, { tag_code: 'ABCDEX' })]);
    expect([tagged.tag_code, tagged.former_tags[0]?.code]).toEqual(['ABCDEX', 'NEAPSX']);
    expect(withLife(barrel(), [entry('retirements', 8, { reason: 'worn' })]).state).toBe('retired');
  });

  test('a strip under the label’s figure clears the way for a fill', () => {
    const held = barrel({ sulphite: { made_at: at(1), strip_mg_l: null, strip_at: null, is_clear: false } });
    const clear = withLife(held, [entry('readings', 8, { kind: 'so2_strip', so2_mg_l: 4 })]);
    expect(clear.sulphite?.is_clear).toBe(true);
    const dirty = withLife(held, [entry('readings', 8, { kind: 'so2_strip', so2_mg_l: 10 })]);
    expect(dirty.sulphite?.is_clear).toBe(false);
  });

  test('what was sent back counts for nothing', async () => {
    await lifeFetched();
    expect(overlaidBarrel(empty(), [entry('curings', 8, { water_l: 2.5 })]).state).toBe('curing');
    const refused = { ...entry('curings', 8, { water_l: 2.5 }), state: 'refused' as const };
    expect(overlaidBarrel(empty(), [refused]).state).toBe('new');
  });
});
