import { describe, expect, test } from 'vitest';
import type { Report, ReportLine } from '~/api/types.ts';
import {
  careCell,
  csvOrder,
  filteredLines,
  honestySentences,
  nextCell,
  sortedLines,
  stockSentence,
  usedWords,
  waterBeside,
  woodCell,
  woodSentence,
  wrongSentence,
} from '~/pages/words/report.ts';
import { NOON_MS } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
function line(name: string, more: Partial<ReportLine> = {}): ReportLine {
  return {
    id: name,
    name,
    tag_code: 'NEAPSX',
    place: 'cellar',
    capacity_l: 5,
    state: 'filled',
    state_since: null,
    holds_now: 'Rye',
    spirit: 'whisky',
    days: 10,
    start_volume_l: 4.7,
    volume_l: { low: 4, mid: 4.1, high: 4.2 },
    start_abv_pct: 46,
    abv_pct: { low: 44, mid: 45, high: 46 },
    loss_pct: { low: 3, high: 5 },
    level: { low: 0.7, mid: 0.72, high: 0.74 },
    wood_used: { low: 0.2, typical: 0.3, high: 0.4 },
    fills_left: { whisky: [2, 4], rum: [3, 6] },
    water: null,
    overdue: [],
    troubles: [],
    next_reservation: null,
    wanted_by: 0,
    timeline: [],
    ...more,
  };
}
const water = (days: number) => ({
  changed_at: '2026-02-13T12:00:00Z',
  days_since_change: days,
  level: null,
  top_up_on: null,
});
function report(barrels: ReportLine[], totals: Partial<Report['totals']> = {}): Report {
  return {
    made_at: '2026-03-01T12:00:00Z',
    overdue: 0,
    barrels,
    forecasts: { fills: 0, pull_week: null, next_score: null },
    totals: {
      barrels: barrels.length,
      filled: 7,
      held: 3,
      curing: 2,
      volume_l: { low: 72, mid: 73, high: 74 },
      pure_alcohol_l: { low: 36, mid: 36.5, high: 37 },
      start_volume_l: 78,
      lost_l: { low: 4, mid: 5, high: 6 },
      samples_l: 0.5,
      ...totals,
    },
  };
}

describe('the order of the table', () => {
  const lines = [
    line('Neap', { days: null, volume_l: null }),
    line('Ebb', { days: 52, volume_l: { low: 4, mid: 4.1, high: 4.2 } }),
    line('Fetch', { days: 2, volume_l: { low: 11, mid: 12, high: 13 } }),
  ];
  const names = (sorted: ReportLine[]): string[] => sorted.map((one) => one.name);
  test('figures sort as figures', () => expect(names(sortedLines(lines, 'volume', true))[0]).toBe('Fetch'));
  test('what has no figure stays at the foot both ways', () => {
    expect(names(sortedLines(lines, 'days', true))).toEqual(['Ebb', 'Fetch', 'Neap']);
    expect(names(sortedLines(lines, 'days', false))).toEqual(['Fetch', 'Ebb', 'Neap']);
  });
  test('ties go by name', () =>
    expect(names(sortedLines(lines, 'capacity', true))).toEqual(['Ebb', 'Fetch', 'Neap']));
  test('it does not touch what it was given', () => {
    sortedLines(lines, 'name', false);
    expect(names(lines)).toEqual(['Neap', 'Ebb', 'Fetch']);
  });
  test('place and state filter together', () =>
    expect(
      names(
        filteredLines([line('A'), line('B', { state: 'held' }), line('C', { place: 'loft' })], {
          place: 'cellar',
          state: 'filled',
        }),
      ),
    ).toEqual(['A']));
});

describe('its three sentences', () => {
  test('stock and loss', () =>
    expect(stockSentence(report([]))).toBe(
      'Seven fills hold 72 to 74 litres, 36 to 37 of them pure alcohol. Air, wood and samples have taken 4 to 6, as barrels this small do.',
    ));
  test('a cellar without fills says so', () =>
    expect(stockSentence(report([], { filled: 0 }))).toBe('No barrel holds a fill now.'));
  test('water and wood', () =>
    expect(woodSentence(report([line('Fairway', { fills_left: { whisky: [0, 1] } })]))).toBe(
      'Three barrels rest in water, two are curing. Fairway has wood for one more fill at most.',
    ));
  test('what is wrong, trouble first', () =>
    expect(
      wrongSentence(
        report([
          line('Neap', {
            water: water(16),
            overdue: [{ task: 'water_change', due_at: '2026-02-20T12:00:00Z' }],
          }),
          line('Overfall', { troubles: ['leak'] }),
        ]),
      ),
    ).toBe('Overfall: it leaks. Neap’s water is 16 days old.'));
  test('nothing wrong is null', () => expect(wrongSentence(report([line('Ebb')]))).toBeNull());
});

describe('its cells', () => {
  test('of what is overdue the water speaks first', () =>
    expect(
      careCell(
        line('Neap', {
          water: water(16),
          overdue: [
            { task: 'roll', due_at: '2026-02-18T12:00:00Z' },
            { task: 'water_change', due_at: '2026-02-20T12:00:00Z' },
          ],
        }),
        now,
      ),
    ).toEqual({ words: 'water 16 days, late', tone: 'red' }));
  test('a late hold still says its water, and nothing twice', () => {
    const late = line('Neap', {
      water: { ...water(16), top_up_on: '2026-03-15' },
      overdue: [{ task: 'water_change', due_at: '2026-02-20T12:00:00Z' }],
    });
    // New water fills it up: a day for topping up would send the keeper twice.
    expect(waterBeside(late, careCell(late, now).words, now)).toBe('');
    const planned = { ...late, overdue: [{ task: 'next_fill' as const, due_at: '2026-02-20T12:00:00Z' }] };
    expect(waterBeside(planned, careCell(planned, now).words, now)).toBe('water 16 days, top up 15\u00a0Mar');
  });
  test('wood that is used is a share of its life', () => {
    const used = (low: number, high: number) =>
      usedWords(line('Ebb', { wood_used: { low, typical: low, high } }));
    expect(used(0, 0)).toBe('none used');
    expect(used(0.54, 0.84)).toBe('50 to 80\u00a0% used');
    expect(used(1.02, 1.3)).toBe('all used');
  });
  test('wood is counted in what the barrel holds', () => {
    expect(woodCell(line('Ebb', { spirit: 'rum' }))).toBe('3 to 6 fills');
    expect(woodCell(line('Ebb', { spirit: null }))).toBe('2 to 4 fills');
  });
  test('the next fill says when it is wanted twice', () => {
    const next = {
      id: 'r',
      person: 'p',
      starts_on: '2026-04-04',
      ends_on: '2026-05-30',
      state: 'pencilled' as const,
    };
    expect(nextCell(line('Ebb', { next_reservation: next }))).toBe('4\u00a0Apr, pencilled');
    expect(nextCell(line('Ebb', { next_reservation: next }), true)).toBe('4\u00a0Apr, twice');
    expect(nextCell(line('Ebb'))).toBe('free');
  });
});

describe('the order of the file', () => {
  test('follows the table where the server knows the column', () => {
    expect(csvOrder('capacity', true)).toBe('-capacity_l');
    expect(csvOrder('abv', false)).toBe('abv_pct');
    expect(csvOrder('name', true)).toBe('-name');
  });
  test('is the server’s own where it does not', () => expect(csvOrder('wood', true)).toBe(''));
});

describe('how honest forecasts were', () => {
  type Forecasts = Report['forecasts'];
  const hits = (hit: number, n: number, verdict: NonNullable<Forecasts['pull_week']>['verdict']) => ({
    hits: hit,
    n,
    low: 0,
    high: 1,
    verdict,
  });
  const said = (more: Partial<Forecasts>) =>
    honestySentences({ fills: 0, pull_week: null, next_score: null, ...more });

  test('nothing pulled yet is said, and an older report that does not know says nothing', () => {
    expect(said({})).toEqual([expect.stringContaining('cannot be told')]);
    expect(honestySentences(undefined)).toEqual([]);
  });

  // Under 10 outcomes too few, under 30 no word, as docs/science/forecast_scores.md has it.
  test.each([
    [hits(1, 2, 'too_few'), 'Of two fills pulled for their taste one was pulled within', 'Too few to judge'],
    [hits(9, 12, 'dots_only'), 'Of twelve fills pulled for their taste nine were', 'Thirty are needed'],
    [hits(33, 40, 'holds'), 'Of 40 fills pulled for their taste 33 were', 'so they hold'],
    [hits(20, 40, 'narrow'), '20 were', 'surer of themselves than they may be'],
    [hits(40, 40, 'wide'), '40 were', 'could be bolder'],
    [hits(1, 1, 'too_few'), 'Of one fill pulled for its taste one was', 'Too few'],
    [hits(0, 3, 'too_few'), 'Of three fills pulled for their taste none were', 'Too few'],
  ])('%o', (pull_week, counts, verdict) => {
    const [sentence] = said({ pull_week });
    expect(sentence).toContain(counts);
    expect(sentence).toContain(verdict);
    expect(sentence).toContain('which flatters it');
  });

  test('the two ledgers stay two sentences', () => {
    const both = said({ pull_week: hits(1, 2, 'too_few'), next_score: hits(33, 40, 'holds') });
    expect(both).toHaveLength(2);
    expect(both[1]).toBe('Of 40 scores 33 came where expected. Four in five should, so they hold.');
  });
});
