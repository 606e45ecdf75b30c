/** A wet hold in words: how old the water is, where it stands, what to do, doses and the way back to a fill. */

import type { Barrel, Sign } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import { nextBungWords } from './inside.ts';
import { capital, counted, litres, unit } from './numbers.ts';
import { daysSince, type Moment, nearDayOf } from './time.ts';

export const SULPHITE_CLEAR_MG_L = 10;

/** "Today", "1 day", "16 days". */
export function waterAge(changed_at: string, now: Moment): { mark: string; under: string; days: number } {
  const days = Math.max(0, daysSince(Date.parse(changed_at), now));
  if (days === 0) return { mark: 'Today', under: 'the water was changed', days };
  return { mark: days === 1 ? '1 day' : `${days} days`, under: 'since the water was changed', days };
}

/** What the lit plank does: the water while it is young, the next fill once the hold is long. */
export function holdAct(barrel: Cared, now: Moment): 'water' | 'fill' {
  return isDue(barrel, 'next_fill', now) && !isDue(barrel, 'water_change', now) ? 'fill' : 'water';
}

type Cared = Pick<Barrel, 'contents'> & { care: (Barrel['care'][number] & { here_at?: string | null })[] };

const lineOf = (barrel: Cared, task: string) => barrel.care.find((line) => line.task === task);

/** By the club's own periods; what this phone has just done is due no more. */
function isDue(barrel: Cared, task: string, now: Moment): boolean {
  const line = lineOf(barrel, task);
  return line !== undefined && !line.here_at && Date.parse(line.due_at) <= now.now_ms;
}

/** "by 3 March", or "now". */
function byWhen(barrel: Cared, task: string, now: Moment): string {
  const line = lineOf(barrel, task);
  if (!line || line.here_at) return '';
  const at = Date.parse(line.due_at);
  return at <= now.now_ms ? ' now' : ` by ${nearDayOf(at, now)}`;
}

/** The sentence that says what to do. */
export function holdAdvice(barrel: Cared, halfMm: number, now: Moment, isSolution: boolean): string {
  if (isSolution) {
    const strip = byWhen(barrel, 'solution_check', now);
    return `Keep it full. Smell it and strip it${strip}; renew it${byWhen(barrel, 'solution_renew', now)}.`;
  }
  if (holdAct(barrel, now) === 'fill') {
    const weeks = Math.floor(daysSince(Date.parse(barrel.contents!.started_at), now) / 7);
    return `${capital(counted(weeks, 'week', 'weeks'))} in water. Fill it next; a good fill is its best care.`;
  }
  return `Smell it, empty it, rinse till clear, fill to ${unit(halfMm, 'mm')}.`;
}

/** "Top up by Sunday." or that it is due. */
export function topUpWords(low_days: number, middle_days: number, now: Moment): string {
  if (low_days <= 0) return 'It may be under 45 % by now: dip it, and top up to the half mark.';
  const day = nearDayOf(now.now_ms + low_days * 86_400_000, now);
  return middle_days > 60
    ? `By its level alone it needs no water before ${day}.`
    : `Dip it by ${day}; it may want topping up.`;
}

/** Depths the rod would show. */
export const dipWords = (low_mm: number, high_mm: number): string =>
  rangeText({ low: Math.round(low_mm), high: Math.round(high_mm), unit: 'mm' });

/** Rest positions, only for a bung that is marked tight. */
export function turnWords(barrel: Barrel): string {
  if (!barrel.bung_tight) return 'One full roll each time, then bung up: this bung is not marked as tight.';
  return `${nextBungWords(barrel)} Each time one full roll, then the next third.`;
}

export const SIGNS: { value: Sign; label: string; isSound: boolean }[] = [
  { value: 'sound', label: 'Sweet, woody, clean', isSound: true },
  { value: 'previous_drink', label: 'Of the last drink', isSound: true },
  { value: 'vinegar', label: 'Vinegar', isSound: false },
  { value: 'nail_varnish', label: 'Nail varnish', isSound: false },
  { value: 'musty', label: 'Musty, of cork', isSound: false },
  { value: 'rotten_egg', label: 'Rotten egg, burnt match', isSound: false },
  { value: 'slime', label: 'Slime or film on it', isSound: false },
];

export const isSoundSign = (sign: string): boolean =>
  SIGNS.find((one) => one.value === sign)?.isSound ?? false;

/** A dose as a kitchen scale can weigh it: tenths of a gram under ten, where a whole gram would be too coarse. */
export const weighable = (grams: number): number => Number(grams.toFixed(grams < 10 ? 1 : 0));

/** Doses as they are weighed, acid first. */
export function doseLines(citric_g: number, metabisulphite_g: number): string[] {
  return [
    `${unit(weighable(citric_g), 'g')} citric acid, dissolved first`,
    `${unit(weighable(metabisulphite_g), 'g')} potassium metabisulphite, into the cool acid water`,
  ];
}

export type HoldPlank = 'solution' | 'change' | 'fill' | 'top-up' | 'dip';

/** The two planks beside Trouble. Plain water thins a solution: there it is only dipped, and the keeper renews it. */
export function holdPlanks(
  act: 'water' | 'fill',
  isSolution: boolean,
  mayWork: boolean,
): { lit: HoldPlank | null; right: HoldPlank } {
  if (isSolution) return { lit: mayWork ? 'solution' : null, right: 'dip' };
  return { lit: act === 'fill' ? 'fill' : 'change', right: 'top-up' };
}

/** What follows the draining: wood that held sulphite is rinsed, soaked and stripped before it meets spirit. */
export function drainWords(barrel: Pick<Barrel, 'sulphite'>, isSolution: boolean): string[] {
  if (!isSolution && (!barrel.sulphite || barrel.sulphite.is_clear)) {
    return ['Through the bung, ten minutes. Then fill it the same day: an empty barrel dries.'];
  }
  const from = isSolution
    ? 'Through the bung, outdoors or in moving air; gloves and goggles, never alone, never with asthma.'
    : 'Through the bung, ten minutes. No strip has shown this wood clear of sulphite.';
  return [
    from,
    `No spirit yet: rinse it three times, fill it with water, let it soak a day and strip that water. Under ${unit(SULPHITE_CLEAR_MG_L, 'mg/L')} it may be filled.`,
  ];
}

export const SULPHITE_CAUTIONS = [
  'The keeper only, never alone, and never somebody with asthma.',
  'Outdoors, or in strong moving air. Gloves and goggles.',
  'Acid into water first, then the powder. Cool water, never hot.',
  'Never near chlorine or bleach; never acid onto the dry powder.',
  'Nothing is burnt in or near a barrel: no sulphur stick, no wick.',
  'The packet’s label and your local rules decide.',
];

/** Where the barrel stands on its way from a solution to a fill. */
export function gateWords(barrel: Pick<Barrel, 'sulphite' | 'name'>, now: Moment): string | null {
  const gate = barrel.sulphite;
  if (!gate) return null;
  const since = nearDayOf(Date.parse(gate.made_at), now);
  if (gate.is_clear)
    return `Sulphite went in ${since}; the last strip shows ${unit(gate.strip_mg_l ?? 0, 'mg/L')}. Clear for a fill; traces are possible.`;
  if (gate.strip_mg_l !== null)
    return `The strip shows ${unit(gate.strip_mg_l, 'mg/L')}. Rinse, soak a day and strip it again: under ${unit(SULPHITE_CLEAR_MG_L, 'mg/L')} it may be filled.`;
  return `Sulphite went in ${since}. Before a fill: drain, rinse three times, soak a day in water, strip that water under ${unit(SULPHITE_CLEAR_MG_L, 'mg/L')}.`;
}

/** A dose of spirit in the water, said for what it is. */
export function doseWords(dose_ml: number, water_l: number): string {
  const abv = water_l > 0 ? (0.4 * dose_ml) / 10 / (water_l + dose_ml / 1000) : 0;
  const strength = abv < 0.05 ? 'next to nothing' : `about ${unit(abv.toFixed(1), '% vol')}`;
  return `A dose of spirit is scent, not protection: ${unit(Math.round(dose_ml), 'mL')} at 40 % makes ${litres(water_l)} ${strength}.`;
}
