/** What is said beside a barrel's picture: what is gone, how strong it is, what it held, how its water stands. */

import type { Barrel, Contents } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import { type InsideNow, isInSolution, SPIRITS } from './barrel.ts';
import { litres } from './numbers.ts';

/** What the fill has lost since it began, samples and air together: "0.3 to 0.5 L gone". */
export function goneWords(contents: Contents, inside: InsideNow): string | null {
  const low = contents.start_volume_l - inside.volume_l.high;
  const high = contents.start_volume_l - inside.volume_l.low;
  if (high <= 0.005) return null;
  if (high < 0.1) return `${rangeText({ low: Math.max(0, low) * 1000, high: high * 1000, unit: 'mL' })} gone`;
  return `${rangeText({ low: Math.max(0, low), high, unit: 'L' })} gone`;
}

/** Strength says how it is known. A range is reckoned; a measured start is not the strength now. */
export function strengthWords(contents: Contents, inside: InsideNow): string | null {
  if (!inside.abv_pct) return null;
  const range = rangeText({ low: inside.abv_pct.low, high: inside.abv_pct.high, unit: '% vol' });
  return contents.climate_guessed ? `${range}, calculated, climate guessed` : `${range}, calculated`;
}

/** What the barrel held, newest first, and what the wood would pass on. */
export function carryOverSentence(barrel: Barrel): string | null {
  // A retired barrel passes nothing on.
  if (barrel.state === 'retired') return null;
  const last = barrel.held_before.at(-1);
  if (!last && barrel.state === 'filled') return null;
  if (!last && barrel.register.adopted) {
    return 'What it held before the club had it is not in its log: the first fill may taste of it.';
  }
  if (!last) return 'Never filled, so its oak is strong.';
  const name = last.name || SPIRITS[last.spirit ?? 'unknown'] || 'a spirit';
  const isFilled = barrel.contents?.kind === 'fill';
  const held = isFilled ? 'Held before' : 'Held last';
  if (!barrel.carry_over_pct) return `${held}: ${name}.`;
  const { low, high } = barrel.carry_over_pct;
  const share = rangeText({ low, high, unit: '%' });
  // The share is that of the newest fill: of the one inside, where there is one.
  return isFilled
    ? `${held}: ${name}. Filled again unrinsed, the wood would leave ${share} of what is in it now.`
    : `${held}: ${name}; the wood leaves ${share} of it.`;
}

/** What the first days of a hold take away, as the wood drinks, is no reason to worry. */
const AT_HALF = 0.01;

/** A wet hold against its half mark: below it the upper staves dry. */
export function waterDepthWords(barrel: Barrel, inside: InsideNow): string {
  const of = `of ${litres(barrel.capacity_l)}`;
  if (isInSolution(barrel)) return `${of}. It is to stand full.`;
  const half = barrel.water?.half_level ?? 0.5;
  if (inside.level.high < half - AT_HALF) return `${of}, below the half mark. The upper staves are drying.`;
  if (inside.level.low > half + AT_HALF) return `${of}, above the half mark.`;
  return `${of}, about at the half mark.`;
}

/** Where the bung points, and the next third for a barrel whose bung is tight. */
export function nextBungWords(barrel: Pick<Barrel, 'bung_clock' | 'bung_tight'>): string {
  const clock = barrel.bung_clock;
  const here = clock === 12 ? 'Bung up.' : `Bung at ${clock} o’clock.`;
  if (!barrel.bung_tight) return here;
  const next = ((clock + 3) % 12) + 1;
  return `${here} Next ${next}${next === 12 ? ', bung up' : ''}.`;
}
