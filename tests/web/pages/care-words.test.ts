import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import {
  dueLines,
  dueSentence,
  dueTotal,
  harmfullyLate,
  lateSentence,
  lateSentenceOf,
  nextLine,
} from '~/pages/words/care.ts';
import { dayStart } from '~/pages/words/time.ts';
import {
  isClimateDue,
  lateSince,
  nextBungClock,
  nextPlaces,
  turned,
  turnWords,
  walkPlaces,
  walkPress,
  walkSentence,
} from '~/pages/words/walk.ts';
import { barrel, CLUB, NOON_MS } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const line = (task: string, due: string, late: string, here_at: string | null = null) => ({
  task,
  last_at: null,
  due_at: `${due}T20:00:00Z`,
  late_at: `${late}T20:00:00Z`,
  here_at,
});
const place = (id: string, name: string, walking_order: number) => ({
  id,
  version: 1,
  name,
  walking_order,
  temp_c: 11,
  rh: 0.75,
});

describe('what is due', () => {
  test('counts for the whole of its day, and not the day before', () => {
    expect(dueLines([line('roll', '2026-03-01', '2026-03-03')], now)).toHaveLength(1);
    expect(dueLines([line('roll', '2026-03-02', '2026-03-03')], now)).toHaveLength(0);
  });
  test('is settled by an entry that is still on this phone', () =>
    expect(dueLines([line('roll', '2026-02-20', '2026-02-22', '2026-03-01T11:00:00Z')], now)).toHaveLength(
      0,
    ));
  test('is said in the order of the hand, the taste apart', () =>
    expect(
      dueSentence([{ task: 'taste' }, { task: 'spigot_check' }, { task: 'leak_check' }, { task: 'roll' }]),
    ).toBe('Roll, look, spigot. A taste is due.'));
  test('the next thing is the soonest that is not due yet', () =>
    expect(
      nextLine([line('taste', '2026-03-09', '2026-03-10'), line('roll', '2026-03-04', '2026-03-06')], now)
        ?.task,
    ).toBe('roll'));
});

describe('what harms', () => {
  const late = [line('top_up', '2026-02-18', '2026-02-20'), line('water_change', '2026-02-20', '2026-02-21')];
  test('stale water comes before a low level', () => {
    const found = harmfullyLate({ care: late }, now);
    expect(found?.task).toBe('water_change');
    expect(lateSentence(found!, now)).toBe('Smell and change the water. It is late since 21\u00a0February.');
  });
  test('a late taste harms nobody', () =>
    expect(harmfullyLate({ care: [line('taste', '2026-02-18', '2026-02-20')] }, now)).toBeNull());
});

describe('all that is due, in one sentence', () => {
  test('counts barrels, not tasks, and leaves the retired out', () => {
    const care = [line('roll', '2026-03-01', '2026-03-03'), line('taste', '2026-03-01', '2026-03-04')];
    const total = dueTotal(
      [
        barrel({ care }),
        barrel({ care: [line('water_change', '2026-03-01', '2026-03-02')] }),
        barrel({ care, state: 'retired' }),
      ],
      now,
    );
    expect(total.title).toBe('Two barrels are due');
    expect(total.detail).toBe('Rolls and looks, a taste and a water change: about 10 minutes.');
  });
  test('nothing is a sentence too', () =>
    expect(dueTotal([barrel({ care: [] })], now).title).toBe('Nothing is due today'));
});

describe('the walk', () => {
  const lee = barrel({ id: 'l', name: 'Lee Shore', care: [line('roll', '2026-03-01', '2026-03-03')] });
  const neap = barrel({
    id: 'n',
    name: 'Neap',
    state: 'held',
    care: [line('water_change', '2026-02-20', '2026-02-21'), line('roll', '2026-02-27', '2026-03-01')],
  });
  const done = barrel({
    id: 'd',
    name: 'Done',
    care: [{ ...line('roll', '2026-03-08', '2026-03-10'), last_at: '2026-03-01T09:00:00Z' }],
  });
  const far = barrel({
    id: 'f',
    name: 'Far',
    place: 'loft',
    care: [line('taste', '2026-03-01', '2026-03-03')],
  });
  const rooms = walkPlaces(
    [done, far, lee, neap],
    [place('loft', 'Sail loft', 2), place(CLUB, 'Cellar', 1)],
    now,
  );
  test('goes by place, then what is late, what is due, what is done', () =>
    expect(rooms.map((room) => room.rows.map((row) => row.barrel.name))).toEqual([
      ['Neap', 'Lee Shore', 'Done'],
      ['Far'],
    ]));
  test('a barrel marked on this walk keeps its turn', () => {
    const kept = walkPlaces([done, lee, neap], [place(CLUB, 'Cellar', 1)], now, new Map([[done.id, 0]]));
    expect(kept[0]!.rows.map((row) => row.barrel.name)).toEqual(['Done', 'Neap', 'Lee Shore']);
  });
  test('one press records roll, look and spigot in one', () => {
    const [, row] = rooms[0]!.rows;
    expect(row!.press).toEqual({ label: 'All well', tasks: ['roll', 'leak_check', 'spigot_check'] });
  });
  test('changed water takes roll and look along', () =>
    expect(rooms[0]!.rows[0]!.press).toEqual({
      label: 'Water changed',
      tasks: ['water_change', 'roll', 'leak_check'],
    }));
  test('says since when the longest has been late', () => {
    expect(lateSince(neap.care, now)).toBe('Late since 21\u00a0February.');
    expect(lateSince(lee.care, now)).toBe('');
  });
  test('what is filled rests bung up; a hold turns on only behind a tight bung', () => {
    const rests = (state: string, bung_tight: boolean, bung_clock: number) =>
      nextBungClock({ state, bung_tight, bung_clock } as never);
    expect([rests('filled', true, 12), rests('filled', false, 4)]).toEqual([12, 12]);
    expect([rests('held', true, 12), rests('held', true, 4), rests('held', true, 8)]).toEqual([4, 8, 12]);
    expect([rests('held', false, 12), rests('held', false, 4)]).toEqual([12, 12]);
    const held = { state: 'held', bung_tight: true, bung_clock: 12 } as const;
    expect(turned(held, ['roll'])).toEqual({ bung_clock: 4 });
    expect(turned(held, ['leak_check'])).toEqual({});
    expect(turned({ ...held, bung_tight: false }, ['roll'])).toEqual({});
    expect(turnWords(held)).toBe('Turn it on: the bung to 4 o’clock.');
    expect(turnWords({ ...held, bung_clock: 8 })).toBe('Turn it till the bung is up, from 8 o’clock.');
  });
  test('the climate of a place is due by the club’s own period, and where nobody ever read it', () => {
    expect(isClimateDue(null, 168, now)).toBe(true);
    expect(isClimateDue(now.now_ms - 6 * 86_400_000, 168, now)).toBe(false);
    expect(isClimateDue(now.now_ms - 7 * 86_400_000, 168, now)).toBe(true);
  });
  test('a day begins at midnight on the club’s wall, also when the clocks change', () => {
    const start = (at: string, timezone: string) =>
      new Date(dayStart({ now_ms: Date.parse(at), timezone })).toISOString();
    expect(start('2026-03-01T12:34:56Z', 'UTC')).toBe('2026-03-01T00:00:00.000Z');
    expect(start('2026-03-29T21:00:00Z', 'Europe/London')).toBe('2026-03-29T00:00:00.000Z');
    expect(start('2026-10-25T23:30:00Z', 'Europe/London')).toBe('2026-10-24T23:00:00.000Z');
    expect(start('2026-03-01T01:00:00Z', 'Asia/Kathmandu')).toBe('2026-02-28T18:15:00.000Z');
    expect(start('2026-03-01T00:00:00Z', 'UTC')).toBe('2026-03-01T00:00:00.000Z');
  });
  test('a barrel in trouble is opened, never waved through', () => {
    const troubles = [{ id: 't', kind: 'leak', since: '2026-03-01T09:00:00Z', quarantine: false, note: '' }];
    expect(walkPress(barrel({ troubles } as never) as never, [{ task: 'roll' }]).label).toBe('Open');
  });
  test('says how far it is', () => {
    expect(walkSentence(rooms)).toBe('One of four done, about 10 minutes left.');
    expect(nextPlaces(rooms, CLUB)).toBe('Next Sail loft: one barrel.');
  });
});

describe('a wet hold that is late', () => {
  const water = { changed_at: '2026-02-12T10:00:00Z' } as unknown as NonNullable<Barrel['water']>;
  const held = { state: 'held' as const, water };
  test('says first how long its water has stood', () => {
    const change = lateSentenceOf(held, line('water_change', '2026-02-20', '2026-02-21'), now);
    expect(change).toMatch(/^Its water has not been changed for \S+ days\. Smell and change it\.$/);
    expect(lateSentenceOf(held, line('top_up', '2026-02-20', '2026-02-21'), now)).toMatch(
      /^Its water has not been changed for \S+ days\. Top up\. It is late since/,
    );
  });
  test('any other barrel says only what is late', () => {
    const late = line('top_up', '2026-02-20', '2026-02-21');
    expect(lateSentenceOf({ state: 'filled', water: null }, late, now)).toBe(lateSentence(late, now));
  });
});
