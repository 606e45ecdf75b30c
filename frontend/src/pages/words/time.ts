/** Moments as a sentence says them, in the club's zone. */

import { clockIn, dayIn, daysBetween, nearDay } from '~/science/dates.ts';

/** What a page needs to speak of time: the instant, and the club's zone. */
export interface Moment {
  now_ms: number;
  timezone: string;
}

export function today({ now_ms, timezone }: Moment): string {
  return dayIn(timezone, now_ms);
}

/** "today 18:42", "Sunday 18:42", "3 May 18:42" */
export function nearTime(ms: number, moment: Moment): string {
  return `${nearDayOf(ms, moment)} ${clockIn(moment.timezone, ms)}`;
}

/** "today", "Sunday", "3 May" */
export function nearDayOf(ms: number, moment: Moment): string {
  return unbroken(nearDay(dayIn(moment.timezone, ms), today(moment)));
}

/** Whole days of the club's calendar since an instant. */
export function daysSince(ms: number, moment: Moment): number {
  return daysBetween(dayIn(moment.timezone, ms), today(moment));
}

/** A day and its month stay on one line. */
const unbroken = (words: string): string => words.replace(/(\d) (?=[A-Z])/g, '$1\u00a0');

const DAY_MONTH = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', timeZone: 'UTC' });
const WEEKDAY_DAY_MONTH = new Intl.DateTimeFormat('en-GB', {
  weekday: 'long',
  day: 'numeric',
  month: 'long',
  timeZone: 'UTC',
});
const SHORT = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone: 'UTC' });

const noon = (day: string): number => Date.parse(`${day}T12:00:00Z`);

/** "4 April" */
export const dayMonth = (day: string): string => unbroken(DAY_MONTH.format(noon(day)));
/** "4 Apr", for tables */
export const shortDay = (day: string): string => unbroken(SHORT.format(noon(day)));
/** "Saturday 4 April" */
export const fullDay = (day: string): string =>
  unbroken(WEEKDAY_DAY_MONTH.format(noon(day)).replace(',', ''));
