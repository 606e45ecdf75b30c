import { describe, expect, test } from 'vitest';
import {
  type CareLineSetting,
  careBody,
  careGroups,
  hoursWords,
  lineSentence,
  lineTitle,
  typedHours,
  withEdits,
} from '~/pages/words/care-settings.ts';

function line(more: Partial<CareLineSetting> = {}): CareLineSetting {
  const periods = { first_hours: 168, every_hours: 168, leeway_hours: 48 };
  return {
    line: 'age.turn',
    code: 'age.turn',
    what: 'turn by a third, or roll one full turn',
    counts_from: 'filled',
    over_capacity_l: 0,
    up_to_capacity_l: null,
    ...periods,
    usual: { ...periods, ...(more.usual ?? {}) },
    is_changed: false,
    ...more,
  };
}

const backwards = line({
  line: 'bottle.by',
  counts_from: 'best_before',
  first_hours: -336,
  every_hours: null,
  leeway_hours: 0,
  usual: { first_hours: -336, every_hours: null, leeway_hours: 0 },
});

describe('a line of the care schedule in words', () => {
  test('says when it is first due, how often and when late', () => {
    expect(lineSentence(line())).toBe(
      'First 7 days after the fill, then every 7 days; late 2 days past that.',
    );
    expect(lineSentence(backwards)).toBe('14 days before the best-before day; late at once.');
    expect(
      lineSentence(
        line({
          line: 'cure.topup.later',
          counts_from: 'cure_filled',
          first_hours: 24,
          every_hours: 12,
          leeway_hours: 4,
        }),
      ),
    ).toBe('From 1 day after the water went in, every 12 hours; late 4 hours past that.');
  });

  test('names the size of barrel where there is one', () => {
    expect(lineTitle(line({ what: 'taste', up_to_capacity_l: 4 }))).toBe('Taste, in barrels up to 4\u00a0L');
    expect(lineTitle(line({ what: 'taste', over_capacity_l: 4, up_to_capacity_l: 25 }))).toBe(
      'Taste, in barrels over 4\u00a0L, up to 25\u00a0L',
    );
    expect(lineTitle(line({ what: 'taste', over_capacity_l: 25 }))).toBe('Taste, in barrels over 25\u00a0L');
    expect(lineTitle(line({ what: 'dip or weigh', up_to_capacity_l: 9.999 }))).toBe(
      'Dip or weigh, in barrels under 10\u00a0L',
    );
  });

  test.each([
    [1, '1 hour'],
    [24, '1 day'],
    [36, '36 hours'],
    [60, '2.5 days'],
    [168, '7 days'],
  ])('%d hours are %s', (hours, words) => expect(hoursWords(hours)).toBe(words));

  test('every line has a group, also one this version does not know', () => {
    const groups = careGroups([line({ line: 'new.thing' }), line(), line({ line: 'hold.water' })]);
    expect(groups.map((group) => [group.title, group.lines.map((one) => one.line)])).toEqual([
      ['While a fill ages', ['age.turn']],
      ['Wet hold', ['hold.water']],
      ['More', ['new.thing']],
    ]);
  });
});

describe('a changed period', () => {
  test('is read in hours or days and refused outside its bounds', () => {
    expect(typedHours(line(), 'every_hours', 3, 'days')).toBe(72);
    expect(typedHours(line(), 'every_hours', 0.5, 'hours')).toBeNull();
    expect(typedHours(line(), 'every_hours', 366, 'days')).toBeNull();
    expect(typedHours(line(), 'leeway_hours', 0, 'days')).toBe(0);
    expect(typedHours(line(), 'leeway_hours', null, 'days')).toBeNull();
    expect(typedHours(backwards, 'first_hours', 7, 'days')).toBe(-168);
  });

  test('is sent alone, and what is as usual again is not', () => {
    const lines = [line(), line({ line: 'age.leak', first_hours: 12, is_changed: true }), backwards];
    const edits = new Map([
      ['age.turn', { every_hours: 72, leeway_hours: 48 }],
      ['bottle.by', { first_hours: -168 }],
    ]);
    expect(careBody(lines, edits)).toEqual({
      'age.turn': { every_hours: 72 },
      'age.leak': { first_hours: 12 },
      'bottle.by': { first_hours: -168 },
    });
    expect(careBody(lines, new Map([['age.leak', lines[1]!.usual]]))).toEqual({});
    expect(withEdits(lines, edits).map((one) => one.is_changed)).toEqual([true, true, true]);
  });
});
