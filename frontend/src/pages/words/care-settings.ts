/** The care schedule as a club sets it: its lines by what a barrel holds, their periods in words and in figures. */

import type { Club } from '~/api/types.ts';
import { capital, litres } from './numbers.ts';

export type CareLineSetting = Club['care'][number];
export type Period = 'first_hours' | 'every_hours' | 'leeway_hours';
export type Periods = Record<Period, number | null>;

export const PERIODS: readonly Period[] = ['first_hours', 'every_hours', 'leeway_hours'];
export const LONGEST_HOURS = 24 * 365;

const GROUPS: { title: string; begins: string[] }[] = [
  { title: 'Curing', begins: ['cure.'] },
  { title: 'While a fill ages', begins: ['age.'] },
  { title: 'Wet hold', begins: ['hold.', 'solution.'] },
  { title: 'Between fills, the room and bottles', begins: ['empty.', 'barrel.', 'env.', 'bottle.'] },
];

/** Lines in the order of a barrel's life; what a newer server adds stands at the end. */
export function careGroups<L extends { line: string }>(lines: readonly L[]): { title: string; lines: L[] }[] {
  const groups = GROUPS.map(({ title, begins }) => ({
    title,
    lines: lines
      .filter((line) => begins.some((start) => line.line.startsWith(start)))
      .sort((a, b) => a.line.localeCompare(b.line)),
  }));
  const known = new Set(groups.flatMap((group) => group.lines));
  const rest = lines.filter((line) => !known.has(line));
  return [...groups, { title: 'More', lines: rest }].filter((group) => group.lines.length > 0);
}

const trimmed = (value: number): string => String(Number(value.toFixed(2)));

/** "7 days" · "36 hours" · "1 day" */
export function hoursWords(hours: number): string {
  const size = Math.abs(hours);
  const isDays = size >= 48 ? size % 12 === 0 : size === 24;
  const count = isDays ? size / 24 : size;
  return `${trimmed(count)} ${isDays ? 'day' : 'hour'}${count === 1 ? '' : 's'}`;
}

const FROM: Record<string, string> = {
  cure_filled: 'the water went in',
  filled: 'the fill',
  place_opened: 'the place was opened',
  pull_forecast: 'the week it was planned to end',
  hold_begun: 'the hold began',
  water_changed: 'the water was changed',
  solution_made: 'the solution was made',
  next_fill: 'the next fill',
  emptied: 'it was emptied',
  best_before: 'the best-before day',
};

/** "Taste, in barrels up to 4 L" */
export function lineTitle(line: CareLineSetting): string {
  const what = capital(line.what);
  const { over_capacity_l: over, up_to_capacity_l: top } = line;
  if (over === 0 && top === null) return what;
  if (top === null) return `${what}, in barrels over ${litres(Math.round(over))}`;
  // Just under ten litres is told as what is meant: under ten.
  const isUnder = top % 1 !== 0;
  const upper = `${isUnder ? 'under' : 'up to'} ${litres(Math.round(top))}`;
  return `${what}, in barrels ${over === 0 ? upper : `over ${litres(Math.round(over))}, ${upper}`}`;
}

/** Whether the line's first period says from when it goes on at this pace, and not when it is first due. */
export const isPace = (line: { line: string }): boolean => line.line.endsWith('.later');

/** "First 7 days after the fill, then every 7 days; late 2 days past that." */
export function lineSentence(line: CareLineSetting): string {
  const from = FROM[line.counts_from] ?? 'it began';
  const first =
    line.first_hours === 0
      ? `At ${from}`
      : line.first_hours < 0
        ? `${capital(hoursWords(line.first_hours))} before ${from}`
        : isPace(line)
          ? `From ${hoursWords(line.first_hours)} after ${from}`
          : `First ${hoursWords(line.first_hours)} after ${from}`;
  const every =
    line.every_hours === null ? '' : `, ${isPace(line) ? '' : 'then '}every ${hoursWords(line.every_hours)}`;
  const late =
    line.leeway_hours === 0 ? '; late at once' : `; late ${hoursWords(line.leeway_hours)} past that`;
  return `${first}${every}${late}.`;
}

export const LABELS: Record<Period, string> = {
  first_hours: 'First due',
  every_hours: 'Then every',
  leeway_hours: 'Late after',
};

export function labelOf(line: CareLineSetting, period: Period): string {
  if (period !== 'first_hours') return LABELS[period];
  if (line.usual.first_hours < 0) return 'Due before it';
  return isPace(line) ? 'From this on' : LABELS.first_hours;
}

/** The lowest and highest hours of a period; the same bounds as the server's. */
export function boundsOf(period: Period): { low: number; high: number } {
  return { low: period === 'every_hours' ? 1 : 0, high: LONGEST_HOURS };
}

/** Reads a typed period, in hours or days; a length that counts back is typed without its sign. */
export function typedHours(
  line: CareLineSetting,
  period: Period,
  typed: number | null,
  unit: 'hours' | 'days',
): number | null {
  if (typed === null) return null;
  const hours = unit === 'days' ? typed * 24 : typed;
  const { low, high } = boundsOf(period);
  if (hours < low || hours > high) return null;
  return period === 'first_hours' && line.usual.first_hours < 0 && hours > 0 ? -hours : hours;
}

type Kept = Record<string, Partial<Record<Period, number>>>;

/** What a club changed, as the server keeps it: only the periods that differ from the usual. */
export function careBody(
  lines: readonly CareLineSetting[],
  edits: ReadonlyMap<string, Partial<Periods>>,
): Kept {
  const kept: Kept = {};
  for (const line of lines) {
    const now = { ...line, ...edits.get(line.line) };
    for (const period of PERIODS) {
      const value = now[period];
      if (value !== null && value !== line.usual[period]) {
        kept[line.line] = { ...kept[line.line], [period]: value };
      }
    }
  }
  return kept;
}

/** Lines with the edits of this screen laid over them. */
export function withEdits(
  lines: readonly CareLineSetting[],
  edits: ReadonlyMap<string, Partial<Periods>>,
): CareLineSetting[] {
  return lines.map((line) => {
    const now = { ...line, ...(edits.get(line.line) as Partial<CareLineSetting> | undefined) };
    return { ...now, is_changed: PERIODS.some((period) => now[period] !== line.usual[period]) };
  });
}
