/** What is due at barrels, and how that is said. */

import type { Barrel, CareLine } from '~/api/types.ts';
import { capital, counted, inWords, listed } from './numbers.ts';
import { dayEnd, daysSince, type Moment, nearDayOf } from './time.ts';

interface Task {
  /** What to do. */
  act: string;
  /** The same in a row of several: "Roll, look, spigot". */
  short?: string;
  /** As one of many: "two tastes". */
  one: string;
  many: string;
  /** How long one takes [min]; common practice, no source. */
  minutes: number;
  /** Part of "All well": one look settles it. */
  isLook?: boolean;
}

const TASKS: Record<string, Task> = {
  roll: { act: 'roll', one: 'a roll', many: 'rolls', minutes: 1, isLook: true },
  leak_check: {
    act: 'look for leaks',
    short: 'look',
    one: 'a look for leaks',
    many: 'looks for leaks',
    minutes: 1,
    isLook: true,
  },
  spigot_check: {
    act: 'wipe the spigot',
    short: 'spigot',
    one: 'a spigot',
    many: 'spigots',
    minutes: 0.5,
    isLook: true,
  },
  taste: { act: 'taste', one: 'a taste', many: 'tastes', minutes: 2 },
  level: { act: 'weigh or dip it', one: 'a weighing or dip', many: 'weighings or dips', minutes: 3 },
  water_change: {
    act: 'smell and change the water',
    short: 'change the water',
    one: 'a water change',
    many: 'water changes',
    minutes: 8,
  },
  top_up: { act: 'top up', one: 'a top-up', many: 'top-ups', minutes: 3 },
  next_fill: {
    act: 'plan its next fill',
    one: 'a next fill to plan',
    many: 'next fills to plan',
    minutes: 0,
  },
  solution_check: {
    act: 'strip and smell the solution',
    one: 'a solution check',
    many: 'solution checks',
    minutes: 3,
  },
  solution_rinse: {
    act: 'rinse it three times, soak it a day and strip it',
    short: 'rinse and strip it',
    one: 'a rinse before a fill',
    many: 'rinses before a fill',
    minutes: 20,
  },
  solution_renew: { act: 'renew the solution', one: 'a new solution', many: 'new solutions', minutes: 15 },
  tightness: {
    act: 'judge whether it is tight',
    short: 'judge it',
    one: 'a curing to judge',
    many: 'curings to judge',
    minutes: 2,
  },
  curing_end: {
    act: 'decide whether to give this curing up',
    short: 'give it up or go on',
    one: 'a curing to end',
    many: 'curings to end',
    minutes: 2,
  },
  decide: {
    act: 'decide whether to decant it or go on',
    short: 'decant it or go on',
    one: 'a fill to decide on',
    many: 'fills to decide on',
    minutes: 2,
  },
  review: {
    act: 'look it over and smell it',
    short: 'look it over',
    one: 'an emptied barrel to look over',
    many: 'emptied barrels to look over',
    minutes: 3,
  },
  wet_or_fill: {
    act: 'fill it or hold it wet',
    one: 'an empty barrel',
    many: 'empty barrels',
    minutes: 10,
  },
  climate: { act: 'read the climate', one: 'a climate reading', many: 'climate readings', minutes: 1 },
};

const task = (name: string): Task =>
  TASKS[name] ?? { act: name.replaceAll('_', ' '), one: name, many: name, minutes: 2 };

export const isLook = (name: string): boolean => task(name).isLook === true;

/** A task as an act: "smell and change the water". */
export const taskAct = (name: string): string => task(name).act;

/** The same beside others: "look". */
export const taskShort = (name: string): string => task(name).short ?? task(name).act;

/** What this phone did but has not sent settles a task as well. */
type Line = CareLine & { here_at?: string | null };

export function dueLines(care: Line[], moment: Moment): Line[] {
  const end_ms = dayEnd(moment);
  return care.filter((line) => !line.here_at && Date.parse(line.due_at) < end_ms);
}

export function lateLines(care: Line[], moment: Moment): Line[] {
  return dueLines(care, moment).filter((line) => Date.parse(line.late_at) <= moment.now_ms);
}

/** The next thing that is not due yet. */
export function nextLine(care: Line[], moment: Moment): Line | null {
  const ahead = care.filter((line) => !line.here_at && !dueLines([line], moment).length);
  return ahead.sort((a, b) => a.due_at.localeCompare(b.due_at))[0] ?? null;
}

/** Late in a way that harms: water and drying wood, not a taste or a roll. */
export const HARMFUL = ['water_change', 'wet_or_fill', 'top_up', 'curing_end', 'solution_renew'];

export function harmfullyLate(barrel: Pick<Barrel, 'care'>, moment: Moment): Line | null {
  const late = lateLines(barrel.care, moment).filter((line) => HARMFUL.includes(line.task));
  return late.sort((a, b) => HARMFUL.indexOf(a.task) - HARMFUL.indexOf(b.task))[0] ?? null;
}

const ORDER = Object.keys(TASKS);

/** "Roll, look, spigot. A taste is due." */
export function dueSentence(lines: { task: string }[]): string {
  const names = lines.map((line) => line.task).sort((a, b) => ORDER.indexOf(a) - ORDER.indexOf(b));
  const others = names.filter((name) => name !== 'taste');
  const acts = others.map(others.length === 1 ? taskAct : taskShort);
  const parts = acts.length > 0 ? [`${capital(acts.join(', '))}.`] : [];
  if (names.includes('taste')) parts.push('A taste is due.');
  return parts.join(' ');
}

/** "Change the water. It is late since 3 March." */
export function lateSentence(line: Line, moment: Moment): string {
  return `${capital(task(line.task).act)}. It is late since ${nearDayOf(Date.parse(line.late_at), moment)}.`;
}

/** The same of one barrel: of a wet hold first how long its water has stood, for that is what spoils. */
export function lateSentenceOf(barrel: Pick<Barrel, 'state' | 'water'>, line: Line, moment: Moment): string {
  const said = lateSentence(line, moment);
  if (barrel.state !== 'held' || !barrel.water) return said;
  const days = daysSince(Date.parse(barrel.water.changed_at), moment);
  if (days < 2) return said;
  const stood = `Its water has not been changed for ${inWords(days)} days.`;
  return line.task === 'water_change' ? `${stood} Smell and change it.` : `${stood} ${said}`;
}

export interface DueTotal {
  /** "Nine barrels are due" */
  title: string;
  /** "Rolls, two tastes and a water change: about 25 minutes." */
  detail: string;
  barrels: number;
}

/** All that is due in the cellar today, as one sentence. */
export function dueTotal(barrels: Pick<Barrel, 'care' | 'state'>[], moment: Moment): DueTotal {
  const counts = new Map<string, number>();
  let due = 0;
  for (const barrel of barrels) {
    if (barrel.state === 'retired') continue;
    const lines = dueLines(barrel.care, moment);
    if (lines.length > 0) due += 1;
    for (const line of lines) counts.set(line.task, (counts.get(line.task) ?? 0) + 1);
  }
  if (due === 0) return { title: 'Nothing is due today', detail: '', barrels: 0 };
  const looks = [...counts].filter(([name]) => isLook(name));
  const rest = [...counts].filter(([name]) => !isLook(name));
  const parts = [
    ...(looks.length > 0 ? ['rolls and looks'] : []),
    ...rest.map(([name, count]) => (count === 1 ? task(name).one : `${inWords(count)} ${task(name).many}`)),
  ];
  const minutes = [...counts].reduce((sum, [name, count]) => sum + count * task(name).minutes, 0);
  return {
    title: `${capital(counted(due, 'barrel is', 'barrels are'))} due`,
    detail: `${capital(listed(parts))}: about ${roundedMinutes(minutes)}.`,
    barrels: due,
  };
}

/** Rounded as a person would guess it. */
export function roundedMinutes(minutes: number): string {
  if (minutes <= 2) return 'two minutes';
  const step = minutes < 20 ? 5 : minutes < 60 ? 5 : 15;
  return `${Math.max(5, Math.round(minutes / step) * step)} minutes`;
}

/** Minutes for tasks that are left, for the walk's own count. */
export function minutesFor(tasks: string[]): number {
  return tasks.reduce((sum, name) => sum + task(name).minutes, 0);
}
