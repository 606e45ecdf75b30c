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
import { nextPlaces, walkPlaces, walkPress, walkSentence } from '~/pages/words/walk.ts';
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
  test('one press records the looks that are due, and no more', () => {
    const [, row] = rooms[0]!.rows;
    expect(row!.press).toEqual({ label: 'All well', tasks: ['roll'] });
  });
  test('changed water takes the roll along', () =>
    expect(rooms[0]!.rows[0]!.press).toEqual({ label: 'Water changed', tasks: ['water_change', 'roll'] }));
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
