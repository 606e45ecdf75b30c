import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addDays, clockIn, dayIn, daysBetween, localIso, nearDay, weekOf } from '~/science/dates.ts';

describe('instants', () => {
  // Source: RFC 3339, section 5.8: 1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z, and
  // 1937-01-01T12:00:27.87+00:20 is 1937-01-01T11:40:27.87Z.
  test.each([
    ['1996-12-20T00:39:57Z', -480, '1996-12-19T16:39:57.000-08:00'],
    ['1937-01-01T11:40:27.87Z', 20, '1937-01-01T12:00:27.870+00:20'],
  ])('it writes %s with its offset', (instant, offset_min, written) => {
    expect(localIso(Date.parse(instant), offset_min)).toBe(written);
  });

  test('it writes an instant that reads back as the same', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4e12 }),
        fc.integer({ min: -840, max: 840 }),
        (at_ms, offset_min) => {
          expect(Date.parse(localIso(at_ms, offset_min))).toBe(at_ms);
        },
      ),
    );
  });
});

describe('days of a club', () => {
  // Source: IANA time zone database, zone Europe/London: summer time begins 2026-03-29 01:00 UTC.
  test('it takes the date on the club’s wall', () => {
    expect(dayIn('Europe/London', Date.parse('2026-07-01T23:30:00Z'))).toBe('2026-07-02');
    expect(dayIn('Europe/London', Date.parse('2026-01-01T23:30:00Z'))).toBe('2026-01-01');
    expect(clockIn('Europe/London', Date.parse('2026-03-29T01:00:00Z'))).toBe('02:00');
    expect(clockIn('UTC', Date.parse('2026-03-29T00:05:00Z'))).toBe('00:05');
  });

  // Source: the Gregorian calendar's rule (ISO 8601): 2000 was a leap year, 2100 is none.
  test('it counts days over leap years', () => {
    expect(addDays('2000-02-28', 1)).toBe('2000-02-29');
    expect(addDays('2100-02-28', 1)).toBe('2100-03-01');
    expect(daysBetween('2026-12-31', '2027-01-01')).toBe(1);
    expect(daysBetween('2026-03-30', '2026-03-28')).toBe(-2);
  });

  test('it goes back as many days as it went on', () => {
    fc.assert(
      fc.property(fc.integer({ min: -5000, max: 5000 }), (days) => {
        expect(daysBetween('2026-05-01', addDays('2026-05-01', days))).toBe(days);
      }),
    );
  });

  test('it counts weeks from one', () => {
    expect(weekOf('2026-03-01', '2026-03-01')).toBe(1);
    expect(weekOf('2026-03-01', '2026-03-07')).toBe(1);
    expect(weekOf('2026-03-01', '2026-03-08')).toBe(2);
    // A clock that is behind: the fill is in its first week, never before it.
    expect(weekOf('2026-03-01', '2026-02-20')).toBe(1);
  });

  test.each([
    ['2026-05-03', 'today'],
    ['2026-05-02', 'yesterday'],
    ['2026-05-04', 'tomorrow'],
    ['2026-05-09', 'Saturday'],
    ['2026-04-29', 'last Wednesday'],
    ['2026-05-10', '10 May'],
    ['2025-12-24', '24 December 2025'],
  ])('it calls %s %s on Sunday 3 May 2026', (day, words) => {
    expect(nearDay(day, '2026-05-03')).toBe(words);
  });
});
