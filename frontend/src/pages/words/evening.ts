/** A taster's evening: how many spirits, how much alcohol, and when to stop trusting the palate. */

import type { Barrel, Flight, LogEntry } from '~/api/types.ts';
import { ethanolG } from '~/science/alcoholometry.ts';
import { abvPct, litres } from '~/science/units.ts';
import { insideNow } from './barrel.ts';
import { unit } from './numbers.ts';

/** Gentle, not a licence: from this much ethanol on the words change, whatever a country calls a drink. */
const ENOUGH_G = 15;
/** At most four spirits at full strength an evening (the club's rule; common practice, no source). */
export const SHARP_UNTIL = 4;

export interface Sample {
  id: string;
  sample_ml: number;
  /** Null where this phone does not know the strength. */
  abv_pct: number | null;
  is_spat: boolean;
}

type Line = Pick<
  LogEntry,
  'id' | 'collection' | 'barrel' | 'is_head' | 'is_void' | 'body' | 'author' | 'subject'
>;

/** What one person tasted on a day, over all barrels. */
export function samplesOf(
  log: readonly Line[],
  me: string,
  day: string,
  barrelBy: (id: string) => Barrel | undefined,
  now_ms: number,
): Sample[] {
  return log
    .filter(
      (line) =>
        line.collection === 'tastings' &&
        line.is_head &&
        !line.is_void &&
        (line.subject ?? line.author) === me &&
        line.body?.tasted_on === day,
    )
    .map((line) => ({
      id: line.id,
      sample_ml: numberIn(line.body!, 'sample_ml') ?? 0,
      abv_pct:
        numberIn(line.body!, 'strength_served_abv_pct') ??
        strengthOf(line.barrel ? barrelBy(line.barrel) : undefined, now_ms),
      is_spat: line.body!.is_spat === true,
    }));
}

type BlindScore = Flight['mine'][number];

/**
 * What one person scored blind on a day, of flights whose names are not told: what is told stands in the log. Strength is
 * the flight's mean, since nobody may know which glass is which; null where this phone has not read the flight.
 */
export function blindSamplesOf(
  flights: readonly Flight[],
  unread: readonly BlindScore[],
  day: string,
): Sample[] {
  const poured = flights
    .filter((flight) => flight.opened_at === null)
    .flatMap((flight) => {
      const all_ml = flight.glasses * flight.sample_ml;
      const abv_pct = all_ml > 0 && flight.ethanol_ml > 0 ? (100 * flight.ethanol_ml) / all_ml : null;
      return flight.mine.map((score) => ({ score, abv_pct }));
    });
  return [...poured, ...unread.map((score) => ({ score, abv_pct: null }))]
    .filter(({ score }) => score.tasted_on === day)
    .map(({ score, abv_pct }) => ({
      id: score.act,
      // How much was poured is the flight's to know; a glass is a glass until then.
      sample_ml: score.sample_ml || A_GLASS_ML,
      abv_pct,
      is_spat: score.is_spat,
    }));
}

/** A sample as clubs pour it (common practice, no source). */
const A_GLASS_ML = 10;

function numberIn(body: Record<string, unknown>, field: string): number | null {
  return typeof body[field] === 'number' ? (body[field] as number) : null;
}

/** The strength a sample of a barrel has now, as far as this phone knows. */
export function strengthOf(barrel: Barrel | undefined, now_ms: number): number | null {
  if (barrel?.contents?.kind !== 'fill') return null;
  return insideNow(barrel, now_ms)?.abv_pct?.mid ?? barrel.contents.start_abv_pct;
}

/** Ethanol swallowed, and how many samples could not be counted. */
export function swallowedOf(samples: readonly Sample[]): { grams: number; unknown: number; spat: number } {
  const swallowed = samples.filter((one) => !one.is_spat && one.sample_ml > 0);
  const grams = swallowed.reduce(
    (sum, one) =>
      one.abv_pct === null ? sum : sum + ethanolG(litres(one.sample_ml / 1000), abvPct(one.abv_pct)),
    0,
  );
  return {
    grams,
    unknown: swallowed.filter((one) => one.abv_pct === null).length,
    spat: samples.filter((one) => one.is_spat).length,
  };
}

/** "This evening so far: about 0.9 standard drinks of 10 g, what you spat left out." */
export function drinksWords(samples: readonly Sample[], drink_g: number): string | null {
  if (samples.length === 0) return null;
  const { grams, unknown, spat } = swallowedOf(samples);
  const drinks = grams / drink_g;
  if (drinks === 0 && unknown === 0) return spat > 0 ? 'All spat this evening: nothing to count.' : null;
  const about = drinks < 0.05 ? 'less than 0.1' : `about ${drinks.toFixed(1)}`;
  const left = [
    spat > 0 ? 'what you spat left out' : '',
    unknown > 0 ? `${unknown} of unknown strength left out` : '',
  ].filter(Boolean);
  const count = `This evening so far: ${about} standard drinks of ${unit(drink_g, 'g')}${left.length > 0 ? `, ${left.join(', ')}` : ''}.`;
  return grams >= ENOUGH_G ? `${count} Spitting the rest is no shame, and nobody drives.` : count;
}

const ORDINALS = [
  '',
  'first',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'eighth',
  'ninth',
  'tenth',
];

/** From the fifth spirit of an evening on. */
export function tiredPalateWords(position: number): string | null {
  if (position <= SHARP_UNTIL) return null;
  const which = ORDINALS[position] ?? `${position}th`;
  return `Your ${which} spirit this evening. A tired palate judges less sharply: water, a cracker, two minutes, or leave it for another day.`;
}
