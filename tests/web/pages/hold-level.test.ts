/** Where a hold's water stands: from what was last known, through every change and top-up of the log. */

import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import { holdNow } from '~/pages/hold/level.ts';
import { insideShape } from '~/pages/parts/inside-shape.ts';
import { barrel, FILL, logEntry, NOON_MS } from '../cast.ts';

const DAY_MS = 86_400_000;
const PLACE = { temp_c: 13, rh: 0.7 };
const at = (day: number): string => new Date(NOON_MS + day * DAY_MS).toISOString();
const then = (day: number): number => NOON_MS + day * DAY_MS;

function held(water_l = 2.5, more: Partial<Barrel> = {}): Barrel {
  const one = barrel();
  return barrel({
    state: 'held',
    contents: { ...one.contents!, kind: 'hold', started_at: at(0), start_volume_l: water_l },
    ...more,
  });
}
const line = (collection: string, day: number, body: Record<string, unknown>, more = {}): LogLine => ({
  ...logEntry({ id: `${collection} ${day}`, collection, happened_at: at(day), body, stay: FILL }),
  here: 'sent',
  ...more,
});
const now = (day: number, log: LogLine[] = [], one = held(), place: typeof PLACE | undefined = PLACE) => {
  const found = holdNow(one, log, place, then(day));
  if (!found) throw new Error('The level is known.');
  return found;
};

describe('the water of a hold', () => {
  test('is what the rod says, from the depth alone, as the sheet sends it', () => {
    // Wet to half the bilge is half full, by the symmetry of a lying barrel.
    const half_mm = Math.round(5 * insideShape(held()).bilge_diameter_cm);
    const dipped = now(14, [line('readings', 14, { kind: 'dip', dip_mm: half_mm })], held(1.2));
    expect(dipped.low_l).toBeCloseTo(2.5, 1);
    expect(dipped.high_l).toBe(dipped.low_l);
    const low = now(14, [line('readings', 14, { kind: 'dip', dip_mm: 60 })]);
    expect(low.low_mm).toBeCloseTo(60, 3);
    expect(low.earliest_days).toBe(0);
    const mad = line('readings', 14, { kind: 'dip', dip_mm: 900 });
    expect(now(14, [mad])).toEqual(now(14));
  });

  test('at the start is what was poured in, to the millimetre at half the bilge', () => {
    const level = now(0);
    expect([level.low_l, level.high_l]).toEqual([2.5, 2.5]);
    // A lying barrel is half full at half its depth, whatever its staves' curve.
    const half_mm = Math.round((10 * insideShape(held()).bilge_diameter_cm) / 2);
    expect(level.half_mm).toBe(half_mm);
    expect(level.low_mm).toBeCloseTo(half_mm, 0);
    expect(level.half_l).toBe(2.5);
  });

  test('falls from day to day, and what is known of it spreads', () => {
    const [week, month] = [now(7), now(28)];
    expect(week.high_l).toBeLessThan(2.5);
    expect(month.low_l).toBeLessThan(week.low_l);
    expect(month.high_l - month.low_l).toBeGreaterThan(week.high_l - week.low_l);
    expect(month.low_mm).toBeLessThan(month.high_mm);
  });

  test('falls faster where it is dry and warm than where it is damp and cold', () => {
    const damp = now(21, [], held(), { temp_c: 8, rh: 0.9 });
    const dry = now(21, [], held(), { temp_c: 22, rh: 0.4 });
    expect(dry.high_l).toBeLessThan(damp.high_l);
    expect(dry.low_l).toBeLessThan(damp.low_l);
    expect(dry.middle_days).toBeLessThan(damp.middle_days);
  });

  test('a change begins anew with what went in, or with as much as before', () => {
    const half = line('tendings', 7, { tasks: ['water_change'], volume_l: 2.2 });
    expect(now(7, [half])).toMatchObject({ low_l: 2.2, high_l: 2.2 });
    const silent = line('tendings', 7, { tasks: ['water_change'] });
    expect(now(7, [silent])).toMatchObject({ low_l: 2.5, high_l: 2.5 });
  });

  test('a top-up raises what is there and makes nothing surer; a dip makes it sure', () => {
    const before = now(14);
    const topped = now(14, [line('tendings', 14, { tasks: ['top_up'], volume_l: 0.3 })]);
    expect(topped.low_l).toBeCloseTo(before.low_l + 0.3, 9);
    expect(topped.high_l).toBeCloseTo(before.high_l + 0.3, 9);
    const dipped = now(14, [line('readings', 14, { kind: 'dip', volume_l: 2.4 })]);
    expect([dipped.low_l, dipped.high_l]).toEqual([2.4, 2.4]);
  });

  test('the order in which entries arrived is of no matter', () => {
    const log = [
      line('readings', 20, { kind: 'dip', volume_l: 2.3 }),
      line('tendings', 7, { tasks: ['water_change'], volume_l: 2.5 }),
      line('tendings', 14, { tasks: ['top_up'], volume_l: 0.1 }),
    ];
    expect(now(25, log)).toEqual(now(25, [...log].reverse()));
  });

  test.each([
    ['taken back', { is_void: true }],
    ['corrected by another', { is_head: false }],
    ['set aside', { placement: 'set_aside' }],
    ['of another stay', { stay: 'before' }],
    ['sent back to this phone', { here: 'sent_back' }],
  ])('an entry that is %s changes nothing', (_what, more) => {
    const dip = line('readings', 14, { kind: 'dip', volume_l: 1 }, more);
    expect(now(20, [dip])).toEqual(now(20));
  });

  test('wants topping up under 45 % of what the barrel holds', () => {
    expect(now(0, [], held(2.26)).needs_top_up).toBe(false);
    expect(now(0, [], held(2.24)).needs_top_up).toBe(true);
    const just = now(0, [], held(2.26));
    expect(just.earliest_days).toBeLessThan(just.middle_days);
    expect(now(Math.ceil(just.middle_days) + 1, [], held(2.26)).needs_top_up).toBe(true);
  });

  test('is the club’s own figure, which knows the air of each day, until this phone has said more', () => {
    const course = {
      at: at(14),
      volume_l: { low: 2.1, mid: 2.2, high: 2.3 },
      abv_pct: null,
      level: { low: 0.4, mid: 0.5, high: 0.6 },
    };
    const known = held(2.5, { now: course });
    expect(now(14, [], known)).toMatchObject({ low_l: 2.1, high_l: 2.3 });
    const own = line('readings', 14, { kind: 'dip', volume_l: 2.4 });
    expect(now(14, [own], known)).toMatchObject({ low_l: 2.1, high_l: 2.3 });
    expect(now(14, [{ ...own, here: 'on_this_phone' }], known)).toMatchObject({ low_l: 2.4, high_l: 2.4 });
  });

  test('never rises over the brim', () => {
    const flood = line('tendings', 1, { tasks: ['top_up'], volume_l: 9 });
    expect(now(1, [flood]).high_l).toBe(5);
  });

  test('a room nobody measured is a usual cellar of 13 °C and 70 %', () =>
    expect(holdNow(held(), [], undefined, then(20))).toEqual(holdNow(held(), [], PLACE, then(20))));

  test('an empty barrel has no level', () =>
    expect(holdNow(barrel({ contents: null }), [], PLACE, then(1))).toBeNull());
});
