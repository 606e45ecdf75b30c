import { describe, expect, test } from 'vitest';
import { entryTitle, mended, mendFields } from '~/pages/words/entry.ts';
import { fillVerdict, keeperDay, myFills, mySlots } from '~/pages/words/first.ts';
import { logWhat } from '~/pages/words/log.ts';
import { outcomeOf, wantedTwice, wishProblems } from '~/pages/words/reserve.ts';
import { foundBarrels } from '~/pages/words/search.ts';
import { typedNumber } from '~/pages/words/typed.ts';
import { barrel, logEntry, MEMBER, NEAP, NOON_MS, reservation } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const names = { person: (id: string) => (id === 'w' ? 'Wick' : 'Sedge'), place: () => 'the loft' };

describe('an entry in words', () => {
  test('a taste names the barrel and the score', () =>
    expect(
      entryTitle({ collection: 'tastings', author: MEMBER, body: { liking: 7.5 } }, 'Slack Water', names),
    ).toBe('Taste of Slack Water, 7.5'));
  test('a top-up says how much, small amounts in mL', () =>
    expect(
      entryTitle(
        { collection: 'tendings', author: MEMBER, body: { tasks: ['top_up'], volume_l: 0.4 } },
        'Fetch',
        names,
      ),
    ).toBe('Fetch: topped up, 400\u00a0mL'));
  test('a quantity with a unit of its own stays as it was typed', () =>
    expect(logWhat(logEntry({ collection: 'holds', body: { water_l: '25 fl oz' } }), names)).toBe(
      'Held wet with 25 fl oz of water',
    ));
  test('a private fill’s line tells nothing of it', () =>
    expect(logWhat(logEntry({ collection: 'fills', body: null }), names)).toBe('A private fill began'));
  test('a strip says what it showed, a bottle what became of it', () => {
    const line = (collection: string, body: Record<string, unknown>) =>
      logWhat(logEntry({ collection, body }), names);
    expect(line('readings', { kind: 'so2_strip', so2_mg_l: 40 })).toBe('Strip: 40\u00a0mg/L of sulphite');
    const bottle = (change: string, more = {}) => line('bottle-changes', { bottle: 'b', change, ...more });
    expect(bottle('opened')).toBe('A bottle was opened');
    expect(bottle('level', { level_ml: 350 })).toBe('A bottle: 350\u00a0mL left');
    expect(bottle('handed_over', { person: 'w' })).toBe('A bottle was handed over to Wick');
    expect(bottle('finished')).toBe('A bottle was finished');
    expect(bottle('broken')).toBe('A bottle broke');
  });
  test('every collection of a log has words', () => {
    const all = [
      'curings',
      'decants',
      'drainings',
      'moves',
      'ownerships',
      'retirements',
      'troubles',
      'trouble-settlements',
    ];
    for (const collection of all) {
      expect(logWhat(logEntry({ collection, body: { shares: [] } }), names)).not.toMatch(
        /undefined|null|stay|act/,
      );
    }
  });
});

describe('mending', () => {
  const entry = {
    body: { barrel: NEAP, tasks: ['top_up'], volume_l: 4 },
    problem: {
      status: 422,
      code: 'impossible_value',
      title: '',
      detail: 'Neap holds 2 L.',
      fields: [{ field: 'volume_l', value: 4, allowed: '0 to 2.2 L', detail: 'Neap holds 2 L.' }],
    },
  };
  const fields = mendFields(entry);
  test('offers the wrong field with what is allowed', () =>
    expect(fields[0]).toMatchObject({ field: 'volume_l', value: '4', allowed: '0 to 2.2 L' }));
  test('changes what was typed and nothing else', () =>
    expect(mended(entry.body, fields, { volume_l: '0,04' })).toEqual({
      ok: true,
      body: { barrel: NEAP, tasks: ['top_up'], volume_l: 0.04 },
    }));
  test('a word is no number', () => expect(mended(entry.body, fields, { volume_l: 'some' }).ok).toBe(false));
});

test('numbers are read as people type them', () => {
  expect([' 0,5', '.5', '12', '-3', '1e3', '4 L', ''].map(typedNumber)).toEqual([
    0.5,
    0.5,
    12,
    -3,
    null,
    null,
    null,
  ]);
});

describe('the first screens', () => {
  const mine = (id: string, due: string, late: string) =>
    barrel({
      id,
      name: id,
      contents: { ...barrel().contents!, sharers: [{ person: MEMBER, weight: 1 }], planned_days: 56 },
      care: [{ task: 'taste', last_at: null, due_at: due, late_at: late }],
    });
  const late = mine('Late', '2026-02-20T12:00:00Z', '2026-02-23T12:00:00Z');
  const due = mine('Due', '2026-03-01T12:00:00Z', '2026-03-04T12:00:00Z');
  const later = mine('Later', '2026-03-05T12:00:00Z', '2026-03-08T12:00:00Z');
  test('the fill that wants its sharer most comes first, strangers’ fills never', () =>
    expect(myFills([later, barrel(), due, late], MEMBER, now).map((one) => one.name)).toEqual([
      'Late',
      'Due',
      'Later',
    ]));
  test('the verdict says since when, or when', () => {
    expect(fillVerdict(late, now).due).toBe('A taste is due since 20\u00a0February.');
    expect(fillVerdict(due, now)).toEqual({ due: 'Taste due today.', next: 'Planned until 29\u00a0March.' });
    expect(fillVerdict(later, now).due).toBeNull();
  });
  test('a keeper sees the worst trouble once, late care apart from it', () => {
    const trouble = (id: string, kind: string) => ({
      id,
      kind,
      since: '2026-02-28T12:00:00Z',
      quarantine: false,
      note: '',
      tastes: [],
    });
    const smells = barrel({ id: 's', name: 'Smells', troubles: [trouble('a', 'off_smell')] } as never);
    const leaks = barrel({ id: 'l', name: 'Leaks', troubles: [trouble('b', 'leak')] } as never);
    const stale = barrel({
      id: 'w',
      name: 'Stale',
      care: [
        {
          task: 'water_change',
          last_at: null,
          due_at: '2026-02-18T12:00:00Z',
          late_at: '2026-02-19T12:00:00Z',
        },
      ],
    });
    const day = keeperDay([smells, leaks, stale], now);
    expect([day.worst?.barrel.name, day.troubled[0]?.barrel.name, day.late[0]?.name]).toEqual([
      'Leaks',
      'Smells',
      'Stale',
    ]);
  });
});

describe('reservations', () => {
  const first = reservation({ id: 'a', person: 'w' });
  const second = reservation({ id: 'b', state: 'waiting', starts_on: '2026-07-31', waiting_place: 1 });
  test('days that touch do not clash, days that overlap do', () => {
    expect(wantedTwice([first, second])).toHaveLength(1);
    expect(wantedTwice([first, { ...second, starts_on: '2026-08-01', ends_on: '2026-09-01' }])).toHaveLength(
      0,
    );
  });
  test('a clash is answered with who, when, the place in line and the next free day', () => {
    const clash = {
      starts_on: '2026-06-01',
      ends_on: '2026-08-01',
      person: 'w',
      state: 'pencilled' as const,
    };
    expect(
      outcomeOf({ reservation: second, clash, next_free_on: '2026-08-02' }, 'Neap', names.person),
    ).toMatchObject({
      verdict: 'Neap is taken then.',
      detail:
        'Wick has pencilled it, 1\u00a0June to 31\u00a0July. You are on the waiting list, next in line. It is next free on 2\u00a0August.',
    });
  });
  test('slots that are over or refused are not shown', () =>
    expect(
      mySlots(
        [reservation({ person: MEMBER }), reservation({ id: 'x', person: MEMBER, state: 'refused' })],
        MEMBER,
        now,
      ),
    ).toHaveLength(1));
  test('a wish that cannot be says what is allowed', () => {
    const wish = {
      fill_name: '',
      spirit: 'rum' as const,
      family: 'spirit' as const,
      volume_l: 0,
      abv_pct: 120,
      earliest: '2026-02-01',
      weeks: 8,
      oak: 2,
    };
    expect(wishProblems(wish, '2026-03-01').map((one) => one.field)).toEqual([
      'volume_l',
      'abv_pct',
      'earliest',
    ]);
  });
});

test('a barrel is found by any part of its name or tag, without accents', () => {
  const all = [barrel({ name: 'Étale' }), barrel({ id: 'b', name: 'Slack Water', tag_code: 'SZGFRB' })];
  expect(foundBarrels(all, { text: 'etal', place: '', state: '' })).toHaveLength(1);
  expect(foundBarrels(all, { text: 'szg', place: '', state: '' })[0]?.name).toBe('Slack Water');
});
