import { describe, expect, test } from 'vitest';
import { afterScan } from '~/pages/words/scan.ts';
import {
  budgetSentence,
  budgetWords,
  correctedTaste,
  eveningGuard,
  isMyTaste,
  myScoreToday,
  othersScores,
  raisedWords,
  takenTodayMl,
  tasteBody,
} from '~/pages/words/taste.ts';
import { barrel, FILL, logEntry, MEMBER, NEAP } from '../cast.ts';

const empty = { off_notes: [], note: '', sample_ml: 10 };
const taste = (id: string, author: string, body: Record<string, unknown>, more = {}) =>
  logEntry({
    id,
    collection: 'tastings',
    author,
    body: { fill: FILL, tasted_on: '2026-03-01', ...body },
    ...more,
  });

describe('the entry', () => {
  test('there is none while the rod is dry', () =>
    expect(tasteBody(empty, NEAP, FILL, '2026-03-01')).toBeNull());
  test('a score of nought is a score', () =>
    expect(tasteBody({ ...empty, liking: 0 }, NEAP, FILL, '2026-03-01')?.liking).toBe(0));
  test('two taps make it: what was not said is not sent', () =>
    expect(tasteBody({ ...empty, liking: 7.5 }, NEAP, FILL, '2026-03-01')).toEqual({
      barrel: NEAP,
      fill: FILL,
      tasted_on: '2026-03-01',
      liking: 7.5,
      sample_ml: 10,
    }));
  test('oak right is nought, not nothing', () =>
    expect(tasteBody({ ...empty, liking: 7, oak: '0' }, NEAP, FILL, '2026-03-01')?.oak).toBe(0));
});

describe('samples', () => {
  test('stand against their budget', () =>
    expect(budgetSentence(barrel().contents!, 10)).toBe('Your 10\u00a0mL; 40 of 200\u00a0mL used.'));
  test.each([
    [30, 38, '30 of 38 mL', 'Your 10 mL; 30 of 38 mL used, so it would be 2 mL over.'],
    [38, 38, '38 of 38 mL', 'Your 10 mL; 38 of 38 mL used, so it would be 10 mL over.'],
    [75, 38, '75 of 38 mL: 37 mL over', 'Your 10 mL; so far 75 of 38 mL: 37 mL over.'],
    [28, 38, '28 of 38 mL', 'Your 10 mL; 28 of 38 mL used.'],
    [75, 0, '75 mL', 'Your 10 mL; 75 mL used.'],
  ])('%d of %d mL is said with what is over', (sample_used_ml, sample_budget_ml, words, sentence) => {
    const budget = { sample_used_ml, sample_budget_ml };
    const plain = (text: string) => text.replaceAll('\u00a0', ' ');
    expect([plain(budgetWords(budget)), plain(budgetSentence(budget, 10))]).toEqual([words, sentence]);
  });
  test('one part in a hundred passes, more is said, over three it is asked again', () => {
    expect(eveningGuard(40, 10, 5)).toBeNull();
    expect(eveningGuard(41, 10, 5)?.asksAgain).toBe(false);
    expect(eveningGuard(141, 10, 5)?.asksAgain).toBe(true);
  });
  test('of this evening are those of this fill and day that still stand', () => {
    const log = [
      taste('a', 'w', { sample_ml: 10 }),
      taste('b', 'w', { sample_ml: 10, tasted_on: '2026-02-22' }),
      taste('c', 'w', { sample_ml: 10 }, { is_void: true }),
      taste('d', 'w', { sample_ml: 10 }, { is_head: false }),
    ];
    expect(takenTodayMl(log, FILL, '2026-03-01')).toBe(10);
  });
});

describe('the others', () => {
  const log = [
    taste('a', 'w', { liking: 8, oak: 0 }),
    taste('b', 'w', { liking: 5, tasted_on: '2026-02-22' }),
    taste('c', MEMBER, { liking: 9 }),
    taste('d', 'tablet', { liking: 6 }, { subject: 'm' }),
  ];
  test('are shown by their last score, without one’s own, by taster and not by device', () =>
    expect(othersScores(log, FILL, MEMBER).map(({ person, liking }) => [person, liking])).toEqual([
      ['m', 6],
      ['w', 8],
    ]));
  test('one’s own score of the day is found, to be corrected and not doubled', () => {
    expect(myScoreToday(log, FILL, '2026-03-01', MEMBER)).toBe('c');
    expect(myScoreToday(log, FILL, '2026-03-02', MEMBER)).toBeNull();
  });
});

describe('a scanned tag leads', () => {
  test('to the score where one may taste', () => expect(afterScan(barrel())).toBe(`/barrels/${NEAP}/taste`));
  test('to the barrel when it is in quarantine or holds water', () => {
    const troubles = [
      { id: 't', kind: 'off_smell', since: '2026-03-01T09:00:00Z', quarantine: true, note: '' },
    ];
    expect(afterScan(barrel({ troubles } as never))).toBe(`/barrels/${NEAP}`);
    expect(afterScan(barrel({ contents: { ...barrel().contents!, kind: 'hold' } }))).toBe(`/barrels/${NEAP}`);
  });
});

describe('a correction of one’s own score', () => {
  const shown = (more = {}) => ({
    ...taste('t1', MEMBER, { liking: 6, oak: 0, note: 'smoke' }, more),
    here: 'sent',
  });
  test('keeps what was said and the hour, and names what it replaces', () => {
    const line = shown();
    expect(correctedTaste(line, 7.5)).toEqual({
      fill: FILL,
      tasted_on: '2026-03-01',
      oak: 0,
      note: 'smoke',
      liking: 7.5,
      happened_at: line.happened_at,
      time_typed: true,
      replaces: 't1',
    });
  });
  test('no score makes no correction', () => {
    expect(correctedTaste(shown(), 10.5)).toBeNull();
    expect(correctedTaste(shown(), Number.NaN)).toBeNull();
  });
  test('is offered for one’s own standing score alone', () => {
    expect(isMyTaste(shown(), MEMBER)).toBe(true);
    expect(isMyTaste(shown(), 'somebody-else')).toBe(false);
    expect(isMyTaste(shown({ is_void: true }), MEMBER)).toBe(false);
    expect(isMyTaste(shown({ placement: 'set_aside' }), MEMBER)).toBe(false);
    expect(isMyTaste({ ...shown(), here: 'sent_back' }, MEMBER)).toBe(false);
  });
});

test('what alarms is said with what it has raised, the gravest first', () => {
  expect(raisedWords(['stale', 'vinegar'], 'Neap', true)).toBe(
    'Vinegar: this taste is trouble at Neap now, and its people are told. Nobody tastes it until the keeper has looked.',
  );
  expect(raisedWords(['sulphur', 'musty'], 'Neap', false)).toMatch(/^Must: .* told when it is sent\./);
  expect(raisedWords(['sulphur'], 'Neap', true)).toMatch(/^Sulphur:/);
  expect(raisedWords(['stale'], 'Neap', true)).toBeNull();
});
