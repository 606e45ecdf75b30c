import { describe, expect, test } from 'vitest';
import type { Flight } from '~/api/types.ts';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { overlaidFlights } from '~/outbox/flights.ts';
import { CLUB, EBB, FILL, flight, MEMBER, NEAP, NOON_MS } from '../cast.ts';

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
const laid = (read: Flight[], entries: OutboxEntry[]) => overlaidFlights(read, entries, MEMBER);

describe('what is only on this phone', () => {
  test('a score shows at once, and counts for its taster alone', () => {
    const [shown] = laid([flight()], [score('655', 7)]);
    expect(shown!.mine.map(({ code, liking }) => [code, liking])).toEqual([['655', 7]]);
    expect(shown!.tasters.map((line) => line.scored)).toEqual([1, 0]);
  });
  test('the last word on a glass counts, over what the server knows', () => {
    const read = flight({ mine: [{ code: '655', act: FILL, liking: 3, oak: null }] });
    const [shown] = laid([read], [score('655', 7), score('655', 8)]);
    expect(shown!.mine.map((one) => one.liking)).toEqual([8]);
    expect(shown!.tasters[0]!.scored).toBe(1);
  });
  test('what was sent back counts for nothing', () => {
    const [shown] = laid([flight()], [score('655', 7, { state: 'refused' })]);
    expect(shown!.mine).toEqual([]);
  });
  test('a flight begun without signal has no numbers until the server made them', () => {
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
  test('a closing waits here until the server has told the names', () => {
    const closing = entry('flight-closings', { flight: flight().id });
    expect(laid([flight()], [closing])[0]!.is_closing).toBe(true);
    expect(laid([flight({ opened_at: '2026-03-01T13:00:00Z' })], [closing])[0]!.is_closing).toBe(false);
  });
});
