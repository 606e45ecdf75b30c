/** Days and weeks as a club counts them: on the calendar of its own zone. Pure: the time is passed in. */

/** A date of the calendar, YYYY-MM-DD. */
export type Day = string;

const DAY_MS = 86_400_000;

/** Writes an instant with an offset, so that it keeps the hour the person saw on the wall. */
export function localIso(at_ms: number, offset_min = -new Date(at_ms).getTimezoneOffset()): string {
  const sign = offset_min < 0 ? '-' : '+';
  const two = (n: number): string => String(Math.trunc(n)).padStart(2, '0');
  const shown = new Date(at_ms + offset_min * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(offset_min);
  return `${shown}${sign}${two(size / 60)}:${two(size % 60)}`;
}

const formats = new Map<string, Intl.DateTimeFormat>();

function format(key: string, make: () => Intl.DateTimeFormat): Intl.DateTimeFormat {
  const known = formats.get(key) ?? make();
  formats.set(key, known);
  return known;
}

const QUARTER_MS = 900_000;
const MOST_DAYS = 2_000;
const days = new Map<string, Day>();

/** The date on the club's wall at an instant. */
export function dayIn(timezone: string, at_ms: number): Day {
  // A long list asks for hundreds, and a browser is slow to write one. Midnight falls between two quarters of an hour
  // everywhere: offsets are whole quarters, and so are the hours at which clocks change.
  const quarter = `${timezone} ${Math.floor(at_ms / QUARTER_MS)}`;
  let day = days.get(quarter);
  if (day === undefined) {
    if (days.size >= MOST_DAYS) days.clear();
    // The Swedish form of a date is the ISO one.
    const iso = format(`day ${timezone}`, () => new Intl.DateTimeFormat('sv-SE', { timeZone: timezone }));
    day = iso.format(at_ms);
    days.set(quarter, day);
  }
  return day;
}

/** The time on the club's wall, HH:MM. */
export function clockIn(timezone: string, at_ms: number): string {
  return format(
    `clock ${timezone}`,
    () => new Intl.DateTimeFormat('en-GB', { timeZone: timezone, hour: '2-digit', minute: '2-digit' }),
  ).format(at_ms);
}

/** The instant at which the club's wall shows this day and time; of two (the clocks went back) the later one. */
export function instantIn(timezone: string, day: Day, clock: string): number {
  const shown = Date.parse(`${day}T${clock}:00Z`);
  const off = (at_ms: number): number =>
    Date.parse(`${dayIn(timezone, at_ms)}T${clockIn(timezone, at_ms)}:00Z`) - at_ms;
  // The offset of a moment near by, then that of the moment itself: a change of the clocks lies between them.
  const near = shown - off(shown);
  return shown - off(near);
}

function dayMs(day: Day): number {
  return Date.parse(`${day}T00:00:00Z`);
}

/** Whole days from one date to another; negative when the second is earlier. */
export function daysBetween(from: Day, to: Day): number {
  return Math.round((dayMs(to) - dayMs(from)) / DAY_MS);
}

export function addDays(day: Day, days: number): Day {
  return new Date(dayMs(day) + days * DAY_MS).toISOString().slice(0, 10);
}

/** Which week of a stay a day is in: 1 on its first day and the six after it, by the calendar of the club. */
export function weekOf(first: Day, day: Day): number {
  return Math.max(1, Math.floor(daysBetween(first, day) / 7) + 1);
}

const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** A date in words near to today, as day and month beyond a week, with the year when it is another one. */
export function nearDay(day: Day, today: Day): string {
  const away = daysBetween(today, day);
  if (away === 0) return 'today';
  if (away === 1) return 'tomorrow';
  if (away === -1) return 'yesterday';
  const date = new Date(dayMs(day));
  const weekday = WEEKDAYS[date.getUTCDay()] ?? '';
  if (away > 1 && away < 7) return weekday;
  if (away < -1 && away > -7) return `last ${weekday}`;
  const words = `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}`;
  return day.slice(0, 4) === today.slice(0, 4) ? words : `${words} ${day.slice(0, 4)}`;
}
