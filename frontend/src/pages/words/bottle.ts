/** Bottles in sentences: how full, whose, and until when they are at their best. */

import type { Bottle } from '~/api/types.ts';
import { unit } from './numbers.ts';
import { dayMonth, type Moment, nearDayOf, today } from './time.ts';

const ENDS: Record<string, string> = {
  finished: 'Finished',
  broken: 'Broken',
  away: 'Given away',
};

/** "Open since Sunday, 250 of 500 mL." */
export function bottleWords(bottle: Bottle, moment: Moment): string {
  if (bottle.ended_at !== null) {
    return `${ENDS[bottle.end] ?? 'Gone'} ${nearDayOf(Date.parse(bottle.ended_at), moment)}.`;
  }
  if (bottle.opened_at === null) return `Closed, ${unit(bottle.fill_ml, 'mL')}.`;
  const left = `${bottle.level_ml} of ${unit(bottle.fill_ml, 'mL')}`;
  return `Open since ${nearDayOf(Date.parse(bottle.opened_at), moment)}, ${left}.`;
}

/** "4 April", with its year where that is another one. */
export function dateWords(day: string, moment: Moment): string {
  const year = day.slice(0, 4);
  return year === today(moment).slice(0, 4) ? dayMonth(day) : `${dayMonth(day)} ${year}`;
}

/** "Best before 4 April 2028 (quality)." It never says until when something is safe. */
export function bestBeforeWords(bottle: Bottle, moment: Moment): string | null {
  if (bottle.best_before === null) return null;
  const day = dateWords(bottle.best_before, moment);
  const cold = bottle.is_kept_cold ? ' Keep it cold.' : '';
  if (bottle.best_before < today(moment)) return `Was at its best until ${day} (quality).${cold}`;
  return `Best before ${day} (quality).${cold}`;
}

/** Whether its best days end soon, by the club's care schedule: then it is drunk before the others. */
export function isSoon(bottle: Bottle, moment: Moment): boolean {
  return bottle.ended_at === null && bottle.drink_from !== null && bottle.drink_from <= today(moment);
}

/** "No. 3 of 8, 500 mL" */
export function numberWords(bottle: Bottle): string {
  return `No. ${bottle.number} of ${bottle.made}, ${unit(bottle.size_ml, 'mL')}`;
}
