import { describe, expect, test } from 'vitest';
import { bestWeeksWords, type Pull } from '~/pages/words/best-weeks.ts';
import { fillVerdict } from '~/pages/words/first.ts';
import {
  agreementWords,
  chanceWords,
  initialsBy,
  isCovered,
  pictureWords,
  priorWords,
  pullNote,
  pullTable,
  pullTitle,
  scorePoints,
  uncovered,
} from '~/pages/words/pull.ts';
import { barrel, FILL, USER as KEEPER, logEntry, MEMBER, pull } from '../cast.ts';

const NB = '\u00a0';

const taste = (id: string, author: string, day: string, liking: number, more = {}) =>
  logEntry({
    id,
    collection: 'tastings',
    author,
    body: { fill: FILL, tasted_on: day, liking },
    ...more,
  });

describe('the best weeks', () => {
  test('weeks count from one, as the barrel’s own week does', () =>
    expect(bestWeeksWords(pull())).toBe(`Probably best weeks${NB}6 to${NB}9.`));
  test('one week is said once', () =>
    expect(bestWeeksWords(pull({ best_week: { low: 6.1, mid: 6.4, high: 6.8 } }))).toBe(
      `Probably best week${NB}7.`,
    ));
  test('before three scores they are those of any barrel of its size', () =>
    expect(bestWeeksWords(pull({ scores: 2 }))).toMatch(/^Usually best/));
  test('a first screen says them instead of the plan', () => {
    const filled = barrel();
    const planned = { ...filled, contents: { ...filled.contents!, planned_days: 70, pull: pull() } };
    const now = { now_ms: Date.parse('2026-03-01T12:00:00Z'), timezone: 'Europe/London' };
    expect(fillVerdict(planned, now).next).toBe(`Probably best weeks${NB}6 to${NB}9.`);
  });
});

describe('the verdict', () => {
  test.each([
    [{}, `Leave it. Probably best in weeks${NB}6 to${NB}9.`],
    [
      { verdict: 'near_best', reason: 'little_to_gain' },
      `Near its best. Probably best in weeks${NB}6 to${NB}9.`,
    ],
    [{ verdict: 'near_best', reason: 'scores_hardly_move' }, 'Near its best. Its scores hardly move.'],
    [{ verdict: 'past_best', reason: 'falling' }, `Past its best. Probably best in weeks${NB}6 to${NB}9.`],
    [{ verdict: 'too_few', reason: 'few_scores' }, 'Too few tastes to say.'],
    [{ verdict: 'too_few', reason: 'not_clear_yet' }, 'Not clear yet.'],
    [{ verdict: 'too_few', reason: 'last_tasting_old' }, 'The last taste is too old to say.'],
  ] as [Partial<Pull>, string][])('%o', (more, words) => expect(pullTitle(pull(more))).toBe(words));

  test('too few says how many more, and when', () =>
    expect(pullNote(pull({ verdict: 'too_few', reason: 'on_another_week', log_more: 1, scores: 3 }))).toBe(
      `Log one more, in another week. Probably best weeks${NB}6 to${NB}9.`,
    ));
  test('it says when it is time to pull', () =>
    expect(pullNote(pull({ is_pull_advised: true, p_more: 0.2 }))).toMatch(/about 1 chance in 5.*pull it/));
  test.each([
    [0.02, 'less than 1 chance in 10'],
    [0.1, 'about 1 chance in 10'],
    [0.21, 'about 1 chance in 5'],
    [0.5, 'even chances'],
    [0.7, 'about 7 chances in 10'],
    [0.8, 'about 4 chances in 5'],
    [0.97, 'nearly certain'],
  ])('a chance of %d is never a percentage', (p, words) => expect(chanceWords(p)).toBe(words));
  test('where the weeks come from is said', () => {
    expect(priorWords(pull())).toContain('usual for a barrel of this size');
    expect(priorWords(pull({ prior_basis: 'keeper' }))).toContain('as planned');
  });
});

describe('agreement', () => {
  const said = (verdict: string, alpha: number | null) =>
    agreementWords(pull({ agreement: { evenings: 6, tasters: 3, verdict, alpha } as never }));
  test('with its figure where there is one', () =>
    expect(said('firm', 0.84)).toBe('Its tasters agree well over six shared evenings (alpha 0.84).'));
  test('no figure where too little was shared', () =>
    expect(said('too_few', null)).toMatch(/five are needed/));
  test('nothing for one taster', () => expect(agreementWords(pull())).toBeNull());
});

describe('the points', () => {
  const log = [
    taste('a', MEMBER, '2026-02-08', 6),
    taste('b', KEEPER, '2026-02-08', 5),
    taste('c', KEEPER, '2026-02-15', 7),
    taste('d', KEEPER, '2026-02-22', 9, { is_void: true }),
    taste('e', KEEPER, '2026-02-22', 9, { is_head: false }),
    taste('f', KEEPER, '2026-02-22', 9, { placement: 'set_aside' }),
    taste('g', KEEPER, '2026-02-22', 9, { body: { fill: 'another', tasted_on: '2026-02-22', liking: 9 } }),
  ];
  const points = scorePoints(log, FILL, '2026-02-01T12:00:00Z', 'Europe/London');

  test('only scores that stand, by week of the club’s calendar', () =>
    expect(new Set(points.map((one) => `${one.id} ${one.week} ${one.liking}`))).toEqual(
      new Set(['a 1 6', 'b 1 5', 'c 2 7']),
    ));

  test('others’ scores of a later evening than one’s own are covered', () => {
    const { seen, covered } = uncovered(points, MEMBER);
    expect(seen.map((one) => one.id).sort()).toEqual(['a', 'b']);
    expect(covered).toBe(1);
  });
  test('who never scored sees none of the others’', () =>
    expect(uncovered(points, 'nobody').seen).toEqual([]));
  test('saving one’s own uncovers the evening', () => {
    const mine = scorePoints(
      [...log, taste('h', MEMBER, '2026-02-15', 8)],
      FILL,
      '2026-02-01T12:00:00Z',
      'UTC',
    );
    expect(uncovered(mine, MEMBER).covered).toBe(0);
  });
  test('the log covers the same line, for who may taste only', () => {
    expect(isCovered(log[2]!, barrel(), log, MEMBER)).toBe(true);
    expect(isCovered(log[1]!, barrel(), log, MEMBER)).toBe(false);
    expect(isCovered(log[0]!, barrel(), log, MEMBER)).toBe(false);
    const closed = barrel();
    closed.contents = { ...closed.contents!, may_taste: false };
    expect(isCovered(log[2]!, closed, log, MEMBER)).toBe(false);
  });
  test('people of one initial are told apart', () => {
    const names: Record<string, string> = { x: 'Sedge', y: 'Sorrel', z: 'Pell' };
    expect([...initialsBy(['x', 'y', 'z'], (id) => names[id]!).values()]).toEqual(['Se', 'So', 'P']);
  });
  test('the picture reads as a sentence and as a table', () => {
    const name = (id: string): string => (id === MEMBER ? 'Sedge' : 'Wick');
    expect(pictureWords(pull(), points, name)).toMatch(
      /week 2, Sedge 6.*highest about week 9, at 8\.0\. Probably best/,
    );
    const rows = pullTable(pull(), points, name);
    expect(rows[1]!.scores).toContain('Sedge 6');
    // Between the knots of weeks 0 and 4, a straight line: 4 + 1.5/4 of 2.5 and 6 + 1.5/4 of 1.5.
    expect(rows[1]!.expected).toBe('4.9 to 6.6');
    expect(rows).toHaveLength(12);
  });
});
