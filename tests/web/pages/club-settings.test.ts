import { describe, expect, test } from 'vitest';
import type { Club } from '~/api/types.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import {
  currencyWrong,
  drinkOptions,
  drinkWords,
  figuresWords,
  isClubWaiting,
  lawWords,
  mayWords,
  pullWords,
  typedFigures,
  withWaiting,
  zones,
} from '~/pages/words/club-settings.ts';
import { lawAnswer, withAnswer } from '~/pages/words/law.ts';

const NB = '\u00a0';

function row(more: Partial<Club> = {}): Club {
  return {
    id: 'c1',
    slug: 'club',
    version: 3,
    name: 'The club',
    timezone: 'Europe/London',
    currency: 'GBP',
    today: '2026-03-01',
    drink_country: 'WHO',
    drink_g: 10,
    drink_sizes: [
      { country: 'GB', grams: 8 },
      { country: 'US', grams: 14 },
      { country: 'WHO', grams: 10 },
    ],
    members_may_tend: true,
    sharers_may_fill: false,
    members_may_taste_all: true,
    pull_by: 'keeper',
    sample_budget_pct: 4,
    pencil_days: 7,
    turnaround_days: 1,
    strict_water: false,
    law: {},
    care: [],
    ...more,
  };
}

const edit = (more: Partial<OutboxEntry>): OutboxEntry =>
  ({
    collection: 'club',
    state: 'queued',
    base_version: 3,
    mended_by: null,
    body: {},
    ...more,
  }) as OutboxEntry;

describe('an edit on its way', () => {
  test('holds a second one back until the club has come back with it', () => {
    expect(isClubWaiting(row(), [])).toBe(false);
    expect(isClubWaiting(row(), [edit({})])).toBe(true);
    expect(isClubWaiting(row(), [edit({ state: 'done' })])).toBe(true);
    expect(isClubWaiting(row({ version: 4 }), [edit({ state: 'done' })])).toBe(false);
    expect(isClubWaiting(row(), [edit({ collection: 'recipes' })])).toBe(false);
    expect(isClubWaiting(row({ version: 4 }), [edit({ state: 'conflicted' })])).toBe(true);
  });
  test('shows at once, and is let go of when the row is newer or it was refused', () => {
    const body = { name: 'Another', drink_country: 'GB', care: {} };
    expect(withWaiting(row(), [edit({ body })])).toMatchObject({ name: 'Another', drink_g: 8, care: [] });
    expect(withWaiting(row({ version: 4 }), [edit({ body, state: 'done' })]).name).toBe('The club');
    expect(withWaiting(row(), [edit({ body, state: 'refused' })]).name).toBe('The club');
  });
});

describe('in words', () => {
  test('who pulls, and who may do what', () => {
    expect(pullWords('keeper')).toMatch(/sharers are heard/);
    expect(pullWords('sharers')).toMatch(/more than half of the shares/);
    expect(mayWords(row())).toEqual([
      'Every member may tend barrels.',
      'Only keepers and owners fill and decant.',
      'Every member may taste an open fill.',
    ]);
  });
  test('figures', () => {
    expect(figuresWords(row())).toBe(
      `4${NB}% of a fill is for samples. A reservation stays pencilled for 7${NB}days; 1${NB}day is kept free between two fills.`,
    );
  });
  test('a drink says whose, and that it is no measure of what is safe', () => {
    expect(drinkWords(row())).toMatch(
      /^10.g of alcohol, by the World Health Organization\. .*how many are safe/,
    );
    expect(drinkWords(row({ drink_country: 'GB', drink_g: 8 }))).toMatch(
      /^8.g of alcohol, as in the United K/,
    );
    expect(drinkOptions(row().drink_sizes).map((one) => one.label)).toEqual([
      `United Kingdom, 8${NB}g`,
      `United States, 14${NB}g`,
      `World Health Organization, 10${NB}g`,
    ]);
  });
  test('a row that was read before drinks were known is not broken', () => {
    const { drink_country: _, drink_g: __, drink_sizes: ___, ...old } = row();
    expect(drinkWords(old as Club)).toMatch(/^10.g of alcohol, until/);
    expect(drinkOptions((old as Club).drink_sizes)).toEqual([]);
  });
});

describe('typed figures', () => {
  test('only what differs is sent', () =>
    expect(typedFigures(row(), { pencil_days: '10', turnaround_days: '1' })).toEqual({
      changes: { pencil_days: 10 },
      wrong: {},
    }));
  test.each([
    ['sample_budget_pct', '51'],
    ['sample_budget_pct', 'much'],
    ['pencil_days', '0'],
    ['pencil_days', '2.5'],
    ['turnaround_days', '31'],
    ['turnaround_days', '-1'],
  ])('%s of %s is asked for again', (field, text) => {
    const { changes, wrong } = typedFigures(row(), { [field]: text });
    expect(changes).toEqual({});
    expect(Object.keys(wrong)).toEqual([field]);
  });
  test('a share may have a fraction', () =>
    expect(typedFigures(row(), { sample_budget_pct: '2,5' }).changes).toEqual({ sample_budget_pct: 2.5 }));
  test('a currency is three letters', () => {
    expect(currencyWrong('EUR')).toBeUndefined();
    expect(currencyWrong('eur')).toMatch(/capital/);
    expect(currencyWrong('EURO')).toMatch(/Three/);
  });
  test('the club’s own zone is among those to choose from', () => {
    expect(zones('Europe/London')).toContain('Europe/London');
    expect(zones('Mars/Base')).toContain('Mars/Base');
    expect(zones('UTC').filter((zone) => zone === 'UTC')).toHaveLength(1);
  });
});

describe('the law', () => {
  const law = {
    use: { answer: 'for the club alone' },
    age_limit_years: 18,
    authority_asked: { answer: 'yes', source: 'the district council', asked_on: '2025-08-14' },
  };
  test('is said with who said it and when', () => {
    expect(lawWords(law, 'authority_asked')).toBe(`Yes. The district council, asked 14${NB}August${NB}2025.`);
    expect(lawWords(law, 'age_limit_years')).toBe('18.');
    expect(lawWords(law, 'unasked')).toBeNull();
    expect(lawAnswer({ use: { answer: '' } }, 'use')).toBeNull();
  });
  test('one answer changes and the others are sent along as they are', () => {
    expect(withAnswer(law, 'use', { answer: ' sold ', source: '', asked_on: '' })).toEqual({
      age_limit_years: { answer: '18' },
      authority_asked: law.authority_asked,
      use: { answer: 'sold' },
    });
  });
  test('an answer that is emptied is open again', () =>
    expect(Object.keys(withAnswer(law, 'use', { answer: '' }))).toEqual([
      'age_limit_years',
      'authority_asked',
    ]));
});
