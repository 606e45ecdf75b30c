import { describe, expect, test } from 'vitest';
import type { LogLine } from '~/outbox/overlay.ts';
import { shrunkSize } from '~/pages/parts/shrink.ts';
import { correction, earlierVersions, mayCorrect, standing, voidOf } from '~/pages/words/history.ts';
import { instantIn } from '~/science/dates.ts';
import { logEntry, MEMBER, NOON_MS } from '../cast.ts';

function line(id: string, more: Partial<LogLine> = {}): LogLine {
  return { ...logEntry({ id, collection: 'tendings', body: { tasks: ['roll'] } }), here: 'sent', ...more };
}

const first = line('a', { is_head: false });
const second = line('b', { is_head: false, replaces: 'a' });
const third = line('c', { replaces: 'b' });

describe('an entry and its versions', () => {
  test('only the newest stands, with all it replaced beside it', () => {
    const log = [third, second, first];
    expect(standing(log).map((one) => one.id)).toEqual(['c']);
    expect(
      earlierVersions(log)
        .get('c')
        ?.map((one) => one.id),
    ).toEqual(['b', 'a']);
  });

  test('what was taken back stays a line, struck, with its reason', () => {
    const taken = line('d', { is_head: false });
    const taking = line('v', {
      collection: 'voids',
      replaces: 'd',
      is_void: true,
      body: { act: 'd', reason: 'Twice.' },
    });
    const log = [taking, taken];
    expect(standing(log).map((one) => [one.id, one.is_void])).toEqual([['d', true]]);
    expect(voidOf(log, 'd')?.body?.reason).toBe('Twice.');
  });

  test('one that is taken back on this phone is struck at once', () => {
    const here = line('v', {
      collection: 'voids',
      here: 'on_this_phone',
      body: { act: 'd', reason: 'Twice.' },
    });
    expect(standing([here, line('d')]).map((one) => [one.id, one.is_void])).toEqual([['d', true]]);
  });

  test('a void that was set aside strikes nothing', () => {
    const late = line('v', {
      collection: 'voids',
      placement: 'set_aside',
      body: { act: 'd', reason: 'Twice.' },
    });
    expect(standing([late, line('d')]).map((one) => one.is_void)).toEqual([false]);
  });
});

describe('who may correct an entry', () => {
  const member = { me: MEMBER, isKeeper: false, isInvolved: false };
  const DAY = 86_400_000;
  const arrived = Date.parse('2026-02-01T12:00:01Z');

  test('its author within a day of its arrival, later only with a part in it', () => {
    expect(mayCorrect(line('a'), member, arrived + DAY)).toBe(true);
    expect(mayCorrect(line('a'), member, arrived + DAY + 1)).toBe(false);
    expect(mayCorrect(line('a'), { ...member, isInvolved: true }, arrived + 90 * DAY)).toBe(true);
    expect(mayCorrect(line('a', { author: 'other' }), member, arrived)).toBe(false);
    expect(mayCorrect(line('a', { author: 'other', subject: MEMBER }), member, arrived)).toBe(true);
  });

  test('the keeper always, but nobody what is gone, hidden, replaced or sent back', () => {
    const keeper = { me: 'k', isKeeper: true, isInvolved: false };
    expect(mayCorrect(line('a'), keeper, NOON_MS)).toBe(true);
    for (const more of [{ is_void: true }, { body: null }, { is_head: false }, { here: 'sent_back' }]) {
      expect(mayCorrect(line('a', more as Partial<LogLine>), keeper, NOON_MS)).toBe(false);
    }
  });
});

test('a correction is the whole entry in the place of the old one, entered now', () => {
  const body = {
    schema: 1,
    entered_at: '2026-02-01T12:00:00Z',
    tasks: ['roll'],
    bung_clock: 4,
    replaces: 'z',
  };
  const corrected = correction(line('b', { body }), { bung_clock: 8 });
  expect(corrected).toEqual({
    tasks: ['roll'],
    bung_clock: 8,
    happened_at: '2026-02-01T12:00:00Z',
    time_typed: true,
    replaces: 'b',
  });
});

test('a time typed on the club’s wall becomes its instant, also around a change of the clocks', () => {
  const iso = (day: string, clock: string, zone: string) =>
    new Date(instantIn(zone, day, clock)).toISOString();
  expect(iso('2026-03-01', '18:30', 'UTC')).toBe('2026-03-01T18:30:00.000Z');
  expect(iso('2026-07-01', '18:30', 'Europe/London')).toBe('2026-07-01T17:30:00.000Z');
  expect(iso('2026-03-29', '00:30', 'Europe/London')).toBe('2026-03-29T00:30:00.000Z');
  expect(iso('2026-03-29', '02:30', 'Europe/London')).toBe('2026-03-29T01:30:00.000Z');
  expect(iso('2026-03-01', '06:00', 'Asia/Kathmandu')).toBe('2026-03-01T00:15:00.000Z');
});

test('a photo is drawn within 1600 pixels and never larger than it is', () => {
  expect(shrunkSize(4000, 3000)).toEqual({ width: 1600, height: 1200 });
  expect(shrunkSize(900, 3200)).toEqual({ width: 450, height: 1600 });
  expect(shrunkSize(640, 480)).toEqual({ width: 640, height: 480 });
  expect(shrunkSize(9000, 2)).toEqual({ width: 1600, height: 1 });
});
