import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import { USED, usedWords } from '~/pages/words/adopt.ts';
import {
  initialsOf,
  insideNow,
  pictureOf,
  sharersSentence,
  stateSentence,
  woodWords,
} from '~/pages/words/barrel.ts';
import { carryOverSentence, goneWords, nextBungWords, waterDepthWords } from '~/pages/words/inside.ts';
import { barrel, MEMBER, NOON_MS } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const names: Record<string, string> = { [MEMBER]: 'Sedge', w: 'Wick', m: 'Marl' };
const nameOf = (id: string): string => names[id] ?? 'Somebody';
const filled = barrel().contents!;
const inside = (low: number, high: number) => ({
  volume_l: { low, mid: (low + high) / 2, high },
  abv_pct: null,
  level: { low: 0.4, mid: 0.42, high: 0.44 },
});

describe('what a barrel is about', () => {
  test('the first week is week one', () => {
    expect(stateSentence(barrel({ contents: { ...filled, started_at: '2026-03-01T09:00:00Z' } }), now)).toBe(
      'Week 1 of Rye.',
    );
  });
  test('a week turns at midnight where the club is, not at the hour of its filling', () => {
    // Filled on the evening of 1 July in London; seven calendar days later the second week begins.
    const contents = { ...filled, started_at: '2026-07-01T19:00:00Z' };
    const at = (iso: string, timezone = 'Europe/London') =>
      stateSentence(barrel({ contents }), { now_ms: Date.parse(iso), timezone });
    expect(at('2026-07-07T22:59:00Z')).toBe('Week 1 of Rye.');
    expect(at('2026-07-07T23:01:00Z')).toBe('Week 2 of Rye.');
    // The same instants where it was already the 2nd when it was filled.
    expect(at('2026-07-07T23:01:00Z', 'Pacific/Auckland')).toBe('Week 1 of Rye.');
  });
  test('a private fill tells its week and nothing else', () => {
    const outline = { ...filled, is_private: true, name: null, spirit: null };
    expect(stateSentence(barrel({ contents: outline }), now)).toBe('A private fill, week 5.');
    expect(pictureOf(barrel({ contents: outline }), NOON_MS).isPrivate).toBe(true);
  });
  test('the age of the water is counted on the calendar, not in hours', () => {
    const water = { changed_at: '2026-02-28T23:00:00Z', half_volume_l: 1, half_level: 0.5, top_up_at: null };
    expect(stateSentence(barrel({ state: 'held', water }), now)).toBe(
      'Wet hold. Its water was changed yesterday.',
    );
  });
});

describe('a barrel that was adopted as found', () => {
  const found = (more: Partial<Barrel> = {}) =>
    barrel({ register: { ...barrel().register, adopted: true }, state: 'new', contents: null, ...more });
  test('is not called new, nor never filled', () => {
    expect(stateSentence(found(), now)).toMatch(/^Adopted as found/);
    expect(carryOverSentence(found())).toMatch(/^What it held before the club had it is not in its log/);
    expect(carryOverSentence(barrel({ state: 'new', contents: null }))).toMatch(/^Never filled/);
  });
  test('may have none of its wood left, and no more than all of it used', () => {
    expect(USED.filter((one) => one.high > 0).map(usedWords)).toEqual([
      '1 tenth to 5 tenths of its wood may be used.',
      '3 tenths to 8 tenths of its wood may be used.',
      '6 tenths to all of its wood may be used.',
      'none of its wood may be used, or all of it.',
    ]);
  });
});

describe('a retired barrel', () => {
  test('promises no fill and passes nothing on', () => {
    const gone = barrel({ state: 'retired', contents: null, fills_left: { whisky: [4, 5] } });
    expect(woodWords(gone)).toBe('not for drink any more');
    expect(carryOverSentence(gone)).toBeNull();
  });
});

describe('wood left', () => {
  const wood = (low: number, high: number): string =>
    woodWords(barrel({ fills_left: { whisky: [low, high] } }));
  test('is a range in words', () => expect(wood(1, 3)).toBe('wood for one to three more whisky fills'));
  test('that reaches down to nothing says up to', () =>
    expect(wood(0, 4)).toBe('wood for up to four more whisky fills'));
  test('for one fill is in the singular', () =>
    expect(wood(0, 1)).toBe('wood for at most one more whisky fill'));
  test('of a barrel that never held one has no "more"', () =>
    expect(
      woodWords(barrel({ state: 'ready', contents: null, held_before: [], fills_left: { whisky: [4, 5] } })),
    ).toBe('wood for four to five whisky fills'));
  test('with parts of a fill is rounded outwards', () =>
    expect(wood(1.7, 2.2)).toBe('wood for one to three more whisky fills'));
  test('of a spent barrel is none', () =>
    expect(woodWords(barrel({ wood_spent: true }))).toBe('its wood is spent'));
});

describe('what is gone', () => {
  test('is the start less what is there, low against high', () =>
    expect(goneWords(filled, inside(4.5, 4.7))).toBe('0.3 to 0.5\u00a0L gone'));
  test('is said in mL while it is little', () =>
    expect(goneWords(filled, inside(4.94, 4.96))).toBe('40 to 60\u00a0mL gone'));
  test('is not said when nothing is', () => expect(goneWords(filled, inside(5, 5))).toBeNull());
});

describe('whose it is', () => {
  const share = (person: string, weight: number) => ({ person, weight });
  test('even shares name the others', () => {
    const sharers = [share(MEMBER, 1), share('w', 1), share('m', 1)];
    expect(sharersSentence({ ...filled, sharers }, MEMBER, nameOf)).toBe('Yours, with Wick and Marl.');
  });
  test('uneven shares are counted', () => {
    const sharers = [share(MEMBER, 2), share('w', 4)];
    expect(sharersSentence({ ...filled, sharers }, MEMBER, nameOf)).toBe('Two shares of six are yours.');
  });
  test('the club’s own share is named and counted', () => {
    const sharers = [share(MEMBER, 1), share('w', 1)];
    const even = { ...filled, sharers, club_weight: 1 };
    expect(sharersSentence(even, MEMBER, nameOf)).toBe('Yours, with Wick and the club.');
    expect(sharersSentence({ ...even, club_weight: 2 }, MEMBER, nameOf)).toBe('One share of four is yours.');
    expect(sharersSentence({ ...even, sharers: [share('w', 1)] }, MEMBER, nameOf)).toBe(
      'It belongs to Wick and the club.',
    );
    expect(sharersSentence({ ...filled, sharers: [], club_weight: 0 }, MEMBER, nameOf)).toBeNull();
  });
  test('somebody else reads whose it is', () =>
    expect(sharersSentence({ ...filled, sharers: [share('w', 1)] }, MEMBER, nameOf)).toBe(
      'It belongs to Wick.',
    ));
  test('initials tell people of one letter apart', () =>
    expect([...initialsOf(['Sedge', 'Samphire', 'Wick']).values()]).toEqual(['Se', 'Sa', 'W']));
});

test('the bung goes on by a third, and only where it is tight', () => {
  expect(nextBungWords({ bung_clock: 8, bung_tight: true })).toBe('Bung at 8 o’clock. Next 12, bung up.');
  expect(nextBungWords({ bung_clock: 12, bung_tight: true })).toBe('Bung up. Next 4.');
  expect(nextBungWords({ bung_clock: 12, bung_tight: false })).toBe('Bung up.');
});

test('water under the half mark says that the upper staves dry', () => {
  const water = { changed_at: '2026-02-28T12:00:00Z', half_volume_l: 2.5, half_level: 0.5, top_up_at: null };
  expect(waterDepthWords(barrel({ water }), inside(2, 2.2))).toContain('The upper staves are drying.');
});

test('the level is read from the course of the fill, at the moment of looking', () => {
  const near = {
    from: '2026-03-01T00:00:00Z',
    step_days: 1,
    volume_l: [
      [4, 4.2, 4.4],
      [3, 3.2, 3.4],
    ],
    abv_pct: null,
    level: [
      [0.8, 0.82, 0.84],
      [0.6, 0.62, 0.64],
    ],
  };
  const found = insideNow(barrel({ contents: { ...filled, near } }), NOON_MS);
  expect(found?.level.mid).toBeCloseTo(0.72);
});

describe('what the wood passes on', () => {
  const rum = { name: 'rum', spirit: 'rum' as const, family: 'spirit' as const, ended_on: '2026-01-03' };
  const wet = { held_before: [rum], carry_over_pct: { low: 1, high: 3 } } as unknown as Parameters<
    typeof barrel
  >[0];
  test('between fills it is a share of the last one', () => {
    expect(carryOverSentence(barrel({ ...wet, state: 'held', contents: null }))).toBe(
      'Held last: rum; the wood leaves 1 to 3\u00a0% of it.',
    );
  });
  test('under a fill the share is that of the fill, not of what was there before it', () => {
    expect(carryOverSentence(barrel(wet))).toBe(
      'Held before: rum. Filled again unrinsed, the wood would leave 1 to 3\u00a0% of what is in it now.',
    );
  });
});

describe('a hold against its half mark', () => {
  const held = barrel({ state: 'held' });
  const at = (low: number, high: number): string =>
    waterDepthWords(held, { ...inside(1, 2), level: { low, mid: (low + high) / 2, high } });
  test('what the wood drank in the first days is no drying', () =>
    expect(at(0.492, 0.497)).toContain('about at the half mark'));
  test('well below it the upper staves dry', () =>
    expect(at(0.44, 0.47)).toContain('The upper staves are drying'));
});
