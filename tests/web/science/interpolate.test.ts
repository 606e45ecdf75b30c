import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nearAt } from '~/science/interpolate.ts';

const START = '2026-03-01T00:00:00Z';
const START_MS = Date.parse(START);
const DAY_MS = 86_400_000;
const near = {
  from: START,
  step_days: 7,
  volume_l: [
    [4.8, 4.9, 5.0],
    [4.6, 4.8, 4.95],
    [4.4, 4.7, 4.9],
  ],
  abv_pct: [[58, 60, 61], [57, 59.5, 61], null],
  level: [
    [0.9, 0.92, 0.95],
    [0.85, 0.9, 0.93],
    [0.8, 0.88, 0.92],
  ],
};

describe('a forecast between its knots', () => {
  test('it gives a knot as it is', () => {
    expect(nearAt(near, START_MS + 7 * DAY_MS)).toEqual({
      volume_l: { low: 4.6, mid: 4.8, high: 4.95 },
      abv_pct: { low: 57, mid: 59.5, high: 61 },
      level: { low: 0.85, mid: 0.9, high: 0.93 },
      beyond: false,
    });
  });

  // Linear interpolation, y = a + (b - a) t: handbook rule; 4.9 + (4.8 - 4.9) * 3.5/7 = 4.85 by hand.
  test('it goes straight from one to the next', () => {
    expect(nearAt(near, START_MS + 3.5 * DAY_MS)?.volume_l.mid).toBeCloseTo(4.85, 12);
  });

  test('it gives no strength where a knot has none', () => {
    expect(nearAt(near, START_MS + 10 * DAY_MS)?.abv_pct).toBeNull();
    expect(nearAt({ ...near, abv_pct: null }, START_MS)?.abv_pct).toBeNull();
  });

  test.each([-1, 15])('it says when day %d lies beyond the forecast', (day) => {
    const now = nearAt(near, START_MS + day * DAY_MS);
    expect(now?.beyond).toBe(true);
    expect(now?.volume_l.mid).toBe(day < 0 ? 4.9 : 4.7);
  });

  test('it has nothing to say without a forecast', () => {
    expect(nearAt(null, START_MS)).toBeNull();
    expect(nearAt({ ...near, volume_l: [], level: [] }, START_MS)).toBeNull();
  });

  test('it refuses a step that leads nowhere', () => {
    expect(() => nearAt({ ...near, step_days: 0 }, START_MS)).toThrow(/step_days/);
    expect(() => nearAt({ ...near, from: 'soon' }, START_MS)).toThrow(/from/);
  });

  test('it stays between its neighbours and keeps low, mid and high in order', () => {
    fc.assert(
      fc.property(fc.double({ min: -5, max: 20, noNaN: true }), (day) => {
        const { volume_l } = nearAt(near, START_MS + day * DAY_MS) ?? expect.unreachable();
        expect(volume_l.low).toBeLessThanOrEqual(volume_l.mid);
        expect(volume_l.mid).toBeLessThanOrEqual(volume_l.high);
        expect(volume_l.mid).toBeGreaterThanOrEqual(4.7 - 1e-12);
        expect(volume_l.mid).toBeLessThanOrEqual(4.9 + 1e-12);
      }),
    );
  });
});
