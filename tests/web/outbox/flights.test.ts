import { describe, expect, test } from 'vitest';
import type { Barrel, Flight } from '~/api/types.ts';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { overlaidFlights, unreadAmong } from '~/outbox/flights.ts';
import { barrel, CLUB, EBB, FILL, flight, MEMBER, NEAP, NOON_MS, USER } from '../cast.ts';

let order = 0;
const entry = (
  collection: string,
  body: Record<string, unknown>,
  more: Partial<OutboxEntry> = {},
): OutboxEntry => ({
  ...makeEntry({ club: CLUB, author: MEMBER, collection, body, now_ms: NOON_MS }),
  order: ++order,
  ...more,
});
const score = (code: string, liking: number, more: Partial<OutboxEntry> = {}): OutboxEntry =>
  entry('blind-tastings', { flight: flight().id, code, liking, tasted_on: '2026-03-01' }, more);
const gave = (code: string, liking: number) => ({
  code,
  act: FILL,
  liking,
  oak: null,
  sample_ml: 10,
  is_spat: false,
  tasted_on: '2026-03-01',
});
const filled = (id: string, stay: string, start_abv_pct: number, allergens: string[]): Barrel => {
  const one = barrel();
  return {
    ...one,
    id,
    allergens: [],
    contents: { ...one.contents!, stay, start_abv_pct, allergens },
  } as Barrel;
};
const laid = (read: Flight[], entries: OutboxEntry[]) => overlaidFlights(read, entries, MEMBER);

describe('what is only on this phone', () => {
  test('a score shows at once, and counts for its taster alone', () => {
    const [shown] = laid([flight()], [score('655', 7)]);
    expect(shown!.mine.map(({ code, liking }) => [code, liking])).toEqual([['655', 7]]);
    expect(shown!.tasters.map((line) => line.scored)).toEqual([1, 0]);
  });
  test('the last word on a glass counts, over what the server knows', () => {
    const read = flight({ mine: [gave('655', 3)] });
    const [shown] = laid([read], [score('655', 7), score('655', 8)]);
    expect(shown!.mine.map((one) => one.liking)).toEqual([8]);
    expect(shown!.tasters[0]!.scored).toBe(1);
  });
  test('what was sent back counts for nothing', () => {
    const [shown] = laid([flight()], [score('655', 7, { state: 'refused' })]);
    expect(shown!.mine).toEqual([]);
  });
  test('a flight begun by an older version has no numbers until the server made them', () => {
    const begun = entry('flights', {
      fills: [NEAP, EBB],
      tasters: [FILL],
      sample_ml: 10,
      happened_at: '2026-03-01T12:00:00Z',
    });
    const [shown] = laid([], [begun]);
    expect([shown!.is_here, shown!.key, shown!.tasters[0]!.codes]).toEqual([true, null, null]);
    expect(laid([flight({ id: begun.id })], [begun])).toHaveLength(1);
  });
  test('one that was begun here has its numbers, its barrels and everybody’s order at once', () => {
    const cellar = [filled('neap', NEAP, 50, ['nuts']), filled('ebb', EBB, 60, [])];
    const begun = entry('flights', {
      fills: [NEAP, EBB],
      tasters: [FILL, USER],
      sample_ml: 10,
      happened_at: '2026-03-01T12:00:00Z',
      glasses: [
        { code: '412', fill: EBB },
        { code: '655', fill: NEAP },
        { code: '783', fill: EBB },
      ],
    });
    const [shown] = overlaidFlights([], [begun], MEMBER, cellar);
    expect(shown!.key).toEqual([
      { code: '412', fill: EBB, barrel: 'ebb' },
      { code: '655', fill: NEAP, barrel: 'neap' },
      { code: '783', fill: EBB, barrel: 'ebb' },
    ]);
    expect(shown!.tasters.map((line) => line.codes)).toEqual([
      ['412', '655', '783'],
      ['655', '783', '412'],
    ]);
    // The twin counts as the strongest, as at the service: 10 mL of 50, 60 and 60 % vol.
    expect([shown!.glasses, shown!.ethanol_ml, shown!.allergens]).toEqual([3, 17, ['nuts']]);
  });
  test('a closing waits here until the server has told the names', () => {
    const closing = entry('flight-closings', { flight: flight().id });
    expect(laid([flight()], [closing])[0]!.is_closing).toBe(true);
    expect(laid([flight({ opened_at: '2026-03-01T13:00:00Z' })], [closing])[0]!.is_closing).toBe(false);
  });
  test('a flight called off here is over at once, with its reason', () => {
    const off = entry('flight-cancellations', {
      flight: flight().id,
      reason: 'wrong glass',
      is_poured: true,
      happened_at: '2026-03-01T12:30:00Z',
    });
    const [shown] = laid([flight()], [off]);
    expect([shown!.called_off_at, shown!.called_off_by, shown!.called_off_reason]).toEqual([
      '2026-03-01T12:30:00Z',
      MEMBER,
      'wrong glass',
    ]);
    expect(laid([flight({ opened_at: '2026-03-01T13:00:00Z' })], [off])[0]!.called_off_at).toBeNull();
  });
  test('a row that an older version read is whole all the same', () => {
    const { called_off_at: _a, called_off_by: _b, called_off_reason: _c, own: _d, ...old } = flight();
    const [shown] = laid([old as Flight], []);
    expect([shown!.called_off_at, shown!.own]).toEqual([null, null]);
  });
});

describe('a score by number alone', () => {
  const unread = (code: string, liking: number, more: Partial<OutboxEntry> = {}, at = '12:30'): OutboxEntry =>
    entry(
      'blind-tastings',
      { code, liking, tasted_on: '2026-03-01', happened_at: `2026-03-01T${at}:00Z` },
      more,
    );
  const since = Date.parse('2026-03-01T00:00:00Z');
  test('is of the flight that this phone has read since, with its own glass', () => {
    const entries = [unread('655', 7)];
    const shown = laid([flight()], entries);
    expect(shown[0]!.mine.map(({ code, liking, sample_ml }) => [code, liking, sample_ml])).toEqual([
      ['655', 7, 10],
    ]);
    expect(unreadAmong(entries, shown, MEMBER, since)).toEqual([]);
  });
  test.each([
    ['of another number', unread('111', 7)],
    ['of the evening before', unread('655', 7, {}, '10:30')],
  ])('%s is of none', (_why, one) => {
    const shown = laid([flight()], [one]);
    expect(shown[0]!.mine).toEqual([]);
    expect(unreadAmong([one], shown, MEMBER, since)).toHaveLength(1);
  });
  test('stands once a glass, the last word first, and says whether it is sent', () => {
    const entries = [
      unread('111', 3),
      unread('222', 4, { state: 'done' }),
      unread('111', 5),
      unread('333', 6, { state: 'refused' }),
      unread('444', 6, { author: FILL }),
    ];
    expect(
      unreadAmong(entries, [], MEMBER, since).map(({ code, liking, is_sent }) => [code, liking, is_sent]),
    ).toEqual([
      ['111', 5, false],
      ['222', 4, true],
    ]);
  });
});
