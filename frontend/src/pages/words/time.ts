/** Moments as a sentence says them, in the club's zone. */

import { addDays, clockIn, dayIn, daysBetween, instantIn, nearDay } from '~/science/dates.ts';

/** What a page needs to speak of time: the instant, and the club's zone. */
export interface Moment {
  now_ms: number;
  timezone: string;
}

export function today({ now_ms, timezone }: Moment): string {
  return dayIn(timezone, now_ms);
}

let tomorrow = { of: '', from_ms: 0 };

/** The instant at which a moment's day ends on the club's wall. */
export function dayEnd(moment: Moment): number {
  const day = today(moment);
  const of = `${moment.timezone} ${day}`;
  if (tomorrow.of !== of) {
    // Noon of the next day is in it whatever the clocks do, its beginning is the end of this one.
    const noon_ms = instantIn(moment.timezone, addDays(day, 1), '12:00');
    tomorrow = { of, from_ms: dayStart({ ...moment, now_ms: noon_ms }) };
  }
  return tomorrow.from_ms;
}

/** The instant at which a moment's day began on the club's wall. */
export function dayStart({ now_ms, timezone }: Moment): number {
  const day = dayIn(timezone, now_ms);
  // A day has 23 to 25 hours: its first quarter of an hour is looked for.
  const quarter = 900_000;
  let low = now_ms - 26 * 3_600_000;
  let high = now_ms;
  while (high - low > quarter) {
    const middle = Math.floor((low + high) / 2 / quarter) * quarter;
    if (middle <= low) break;
    if (dayIn(timezone, middle) < day) low = middle;
    else high = middle;
  }
  return Math.ceil(high / quarter) * quarter;
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
