/** The best weeks of a fill, in a word; apart from the rest, since the first screen says no more. */

import type { Barrel } from '~/api/types.ts';

export type Pull = NonNullable<NonNullable<Barrel['contents']>['pull']>;

/** The weeks of a stay count from one, as in "week 5 of rum"; a model's week counts from nought. */
export const weekNumber = (weeks: number): number => Math.floor(Math.max(0, weeks)) + 1;

/** First and last of the best weeks, whole. */
export function bestWeeks(pull: Pull): { first: number; last: number } {
  return { first: weekNumber(pull.best_week.low), last: weekNumber(pull.best_week.high) };
}

export function weeksText({ first, last }: { first: number; last: number }): string {
  return first === last ? `week\u00a0${first}` : `weeks\u00a0${first} to\u00a0${last}`;
}

/** Fewer than three scores say nothing yet: the weeks are those of any barrel of its size. */
const LEAST_SCORES = 3;

/** "Probably best weeks 6 to 9." / "Usually best weeks 3 to 9." */
export function bestWeeksWords(pull: Pull): string {
  const word = pull.scores < LEAST_SCORES ? 'Usually' : 'Probably';
  return `${word} best ${weeksText(bestWeeks(pull))}.`;
}
