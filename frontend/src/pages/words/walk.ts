/** Today's walk: which barrels, in which order, and the one act of each. */

import type { Barrel, Place } from '~/api/types.ts';
import type { TendingBody } from '~/outbox/bodies.ts';
import { dayIn } from '~/science/dates.ts';
import { dueLines, isLook, lateLines, minutesFor } from './care.ts';
import { capital, counted, inWords } from './numbers.ts';
import { type Moment, nearDayOf, today } from './time.ts';

type CareOf = { care: (Barrel['care'][number] & { here_at?: string | null })[] };
type Walked = Omit<Barrel, 'care'> & CareOf;

export interface WalkRow<B> {
  barrel: B;
  due: { task: string; due_at: string; late_at: string }[];
  isLate: boolean;
  /** Tasks one press records; empty when the barrel must be opened. */
  press: { label: 'All well' | 'Water changed' | 'Looked over' | 'Taste' | 'Open'; tasks: string[] };
  /** When everything due today was done, or null. */
  doneAt: string | null;
}

export interface WalkPlace<B> {
  place: Place;
  rows: WalkRow<B>[];
  left: number;
}

/** What "All well" says of a barrel: rolled, looked at, spigot moved. Never a measurement, a taste or water. */
const ALL_WELL: Record<string, readonly string[]> = {
  filled: ['roll', 'leak_check', 'spigot_check'],
  held: ['roll', 'leak_check'],
};

/** One press settles what one look sees; a change of water is its own; the rest is opened. */
export function walkPress(barrel: Walked, due: { task: string }[]): WalkRow<Walked>['press'] {
  const isLookDue = due.some((line) => isLook(line.task));
  const looks = isLookDue ? [...(ALL_WELL[barrel.state] ?? ['leak_check'])] : [];
  if (barrel.troubles.length > 0) return { label: 'Open', tasks: [] };
  if (due.some((line) => line.task === 'water_change')) {
    return { label: 'Water changed', tasks: ['water_change', ...looks] };
  }
  if (looks.length > 0) return { label: 'All well', tasks: looks };
  if (due.some((line) => line.task === 'review')) return { label: 'Looked over', tasks: ['leak_check'] };
  const isTaste = due.some((line) => line.task === 'taste');
  return isTaste && barrel.contents?.may_taste ? { label: 'Taste', tasks: [] } : { label: 'Open', tasks: [] };
}

const BUNG_UP = 12;
const THIRD = 4;

/**
 * Where the bung points after the next turn. What is filled rests bung up; a hold goes on by a third, but only behind
 * a bung that is known to be tight.
 */
export function nextBungClock(barrel: Pick<Barrel, 'state' | 'bung_tight' | 'bung_clock'>): number {
  if (barrel.state !== 'held' || !barrel.bung_tight) return BUNG_UP;
  return ((barrel.bung_clock + THIRD - 1) % 12) + 1;
}

/** What a turn adds to an entry: the bung's new place, where that is another one. */
export function turned(
  barrel: Pick<Barrel, 'state' | 'bung_tight' | 'bung_clock'>,
  tasks: readonly string[],
): { bung_clock?: number } {
  const next = nextBungClock(barrel);
  return tasks.includes('roll') && next !== barrel.bung_clock ? { bung_clock: next } : {};
}

/** "Turn it on: the bung from 12 to 4 o’clock." Nothing where it rests as it was. */
export function turnWords(barrel: Pick<Barrel, 'state' | 'bung_tight' | 'bung_clock'>): string {
  const next = nextBungClock(barrel);
  if (next === barrel.bung_clock) return '';
  return next === BUNG_UP
    ? `Turn it till the bung is up, from ${barrel.bung_clock} o’clock.`
    : `Turn it on: the bung to ${next} o’clock.`;
}

/** When care was given today, whoever gave it. */
function doneToday(barrel: Walked, moment: Moment): string | null {
  const day = today(moment);
  const times = barrel.care
    .map((line) => line.here_at ?? line.last_at)
    .filter((at): at is string => at !== null && at !== undefined)
    .filter((at) => dayIn(moment.timezone, Date.parse(at)) === day)
    .sort();
  return times.at(-1) ?? null;
}

/**
 * Places in walking order; within one what is late first, then what is due, then what is done. A barrel marked on
 * this walk keeps the turn it had, so that no other row slides under a thumb.
 */
export function walkPlaces<B extends Walked>(
  barrels: B[],
  places: Place[],
  moment: Moment,
  turns: ReadonlyMap<string, number> = new Map(),
): WalkPlace<B>[] {
  const turn = (row: WalkRow<B>): number => turns.get(row.barrel.id) ?? walkTurn(row);
  const order = [...places].sort((a, b) => a.walking_order - b.walking_order || a.name.localeCompare(b.name));
  return order
    .map((place) => {
      const rows = barrels
        .filter((barrel) => barrel.place === place.id && barrel.state !== 'retired')
        .map((barrel): WalkRow<B> => {
          const due = dueLines(barrel.care, moment);
          return {
            barrel,
            due,
            isLate: lateLines(barrel.care, moment).length > 0,
            press: walkPress(barrel, due),
            doneAt: due.length === 0 ? doneToday(barrel, moment) : null,
          };
        })
        .filter((row) => row.due.length > 0 || row.doneAt !== null)
        .sort((a, b) => turn(a) - turn(b) || a.barrel.name.localeCompare(b.barrel.name));
      return { place, rows, left: rows.filter((row) => row.due.length > 0).length };
    })
    .filter((place) => place.rows.length > 0);
}

/** "Late since last Sunday." of what has been late the longest; nothing when nothing is late. */
export function lateSince(care: CareOf['care'], moment: Moment): string {
  const late = lateLines(care as Parameters<typeof lateLines>[0], moment).map((line) =>
    Date.parse(line.late_at),
  );
  return late.length > 0 ? `Late since ${nearDayOf(Math.min(...late), moment)}.` : '';
}

/** When the climate of a place wants reading, by the last reading that this phone knows of. */
export function isClimateDue(last_ms: number | null, every_hours: number, moment: Moment): boolean {
  if (last_ms === null) return true;
  return dayIn(moment.timezone, last_ms + every_hours * 3_600_000) <= today(moment);
}

/** Late, due or done. */
export function walkTurn<B>(row: WalkRow<B>): number {
  if (row.due.length === 0) return 2;
  return row.isLate ? 0 : 1;
}

/** "Three of nine done, about 15 minutes left." */
export function walkSentence<B>(places: WalkPlace<B>[]): string {
  const rows = places.flatMap((place) => place.rows);
  const done = rows.filter((row) => row.due.length === 0).length;
  if (rows.length === 0) return 'Nothing is due today.';
  if (done === rows.length) return `All ${rows.length === 1 ? 'is' : `${inWords(rows.length)} are`} done.`;
  const minutes = minutesFor(rows.flatMap((row) => row.due.map((line) => line.task)));
  const rounded = Math.max(5, Math.round(minutes / 5) * 5);
  return `${capital(done === 0 ? 'none' : inWords(done))} of ${inWords(rows.length)} done, about ${rounded} minutes left.`;
}

/** "Next, the loft: two barrels. Then the bar: one." */
export function nextPlaces<B>(places: WalkPlace<B>[], current: string): string | null {
  const at = places.findIndex((one) => one.place.id === current);
  const rest = places.slice(at + 1).filter((one) => one.left > 0);
  if (rest.length === 0) return null;
  return rest
    .map(
      (one, place) =>
        `${place === 0 ? 'Next' : 'Then'} ${one.place.name}: ${counted(one.left, 'barrel', 'barrels')}.`,
    )
    .join(' ');
}

/**
 * What is settled by a walk that somebody made and did not enter: looks and rolls, and a hold's new water. A curing's
 * water is measured, so its change is entered at the barrel.
 */
export function isWalked({ barrel, press }: Pick<WalkRow<Walked>, 'barrel' | 'press'>): boolean {
  return press.label === 'All well' || (press.label === 'Water changed' && barrel.water !== null);
}

type Begun = Pick<Barrel, 'contents'>;

/** Of the rows of a room, those whose barrels held then what they hold now; the others' care is of a later stay. */
export function thereAt<B extends Begun>(
  rows: readonly WalkRow<B>[],
  at_ms: number,
): { there: WalkRow<B>[]; later: WalkRow<B>[] } {
  const began = ({ barrel }: WalkRow<B>): number => Date.parse(barrel.contents?.started_at ?? '') || 0;
  return {
    there: rows.filter((row) => began(row) <= at_ms),
    later: rows.filter((row) => began(row) > at_ms),
  };
}

/** What one press of a row says; new water goes in to the half mark. */
export function walkedBody(row: WalkRow<Walked>): TendingBody {
  const { barrel, press } = row;
  return {
    barrel: barrel.id,
    tasks: press.tasks as TendingBody['tasks'],
    ...(press.tasks.includes('water_change') && barrel.water
      ? { volume_l: Number(barrel.water.half_volume_l.toFixed(2)) }
      : {}),
    ...turned(barrel, press.tasks),
  };
}
