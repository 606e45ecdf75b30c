/** Work on a barrel's wood, its loan and its end, in words. */

import type { Barrel } from '~/api/types.ts';
import { fillsLeft, fillsRange, SPIRITS } from './barrel.ts';
import { unit } from './numbers.ts';
import { type Moment, nearDayOf } from './time.ts';

export type RepairKind = 'scrape_and_rechar' | 'retoast';

/** What is left of the wood used (docs/science/wood.md: working assumptions). */
export const KEPT: Record<RepairKind, number> = { scrape_and_rechar: 0.3, retoast: 0.6 };

export const REPAIRS: { value: RepairKind; label: string }[] = [
  { value: 'scrape_and_rechar', label: 'Scraped and charred' },
  { value: 'retoast', label: 'Toasted anew' },
];

const DONE: Record<RepairKind, string> = {
  scrape_and_rechar: 'Scraped and charred',
  retoast: 'Toasted anew',
};

const THIN_STAVE_MM = 16;

/** "about 60 %" of what fresh wood gives, to the tenth: the figures behind it are no finer. */
function about(share: number): string {
  return `about ${unit(10 * Math.round(share * 10), '%')}`;
}

/** "Fills have drawn about 60 % of what its wood can give; scraped and charred, it can give about 80 % again." */
export function repairEffect(barrel: Pick<Barrel, 'wood_used'>, kind: RepairKind): string {
  const used = barrel.wood_used.typical;
  if (used < 0.05) return 'Its wood is still fresh; there is nothing yet to win back.';
  const drawn =
    used >= 0.95
      ? 'Its fills have drawn nearly all that its wood can give'
      : `Its fills have drawn ${about(used)} of what its wood can give`;
  const left = Math.max(0, 1 - used * KEPT[kind]);
  return `${drawn}. ${DONE[kind]}, the wood gives ${about(left)} of what fresh wood gives. A working figure, not a promise.`;
}

/** Why a second toast may be one too many. */
export function thinWords(barrel: Pick<Barrel, 'shape' | 'repaired_at'>, kind: RepairKind): string | null {
  const thin = barrel.shape.stave_mm !== null && barrel.shape.stave_mm < THIN_STAVE_MM;
  if (kind !== 'retoast' || !thin) return null;
  return barrel.repaired_at
    ? 'Its staves are thin and were worked on before: once is all they bear.'
    : 'Its staves are thin: toast them once at most.';
}

export const AFTER_REPAIR =
  'Cure it again before the next fill: fire dries the wood. What was once in it stays in its list of allergens.';

export type RetirementWhy =
  | 'wood_spent'
  | 'not_tight'
  | 'worm'
  | 'crack'
  | 'hoops'
  | 'mould'
  | 'musty'
  | 'vinegar'
  | 'sold'
  | 'lost'
  | 'other';

export const RETIREMENTS: { value: RetirementWhy; label: string; reason: string }[] = [
  { value: 'wood_spent', label: 'Its wood is spent', reason: 'its wood is spent' },
  { value: 'not_tight', label: 'Not tight after two cures', reason: 'not tight after two cures' },
  { value: 'crack', label: 'A cracked stave or head', reason: 'a crack' },
  { value: 'hoops', label: 'Its hoops failed', reason: 'its hoops failed' },
  { value: 'worm', label: 'Worm', reason: 'worm' },
  { value: 'mould', label: 'Mould under a head', reason: 'mould under a head' },
  { value: 'musty', label: 'Musty, of cork', reason: 'musty' },
  { value: 'vinegar', label: 'Vinegar that stayed', reason: 'vinegar that stayed' },
  { value: 'sold', label: 'Sold or given away', reason: 'sold or given away' },
  { value: 'lost', label: 'Lost', reason: 'lost' },
  { value: 'other', label: 'Something else', reason: '' },
];

/** What the wood says about it: a warning, not a lock. */
export function spentWords(barrel: Barrel): string {
  if (barrel.wood_spent) return 'By its fills, its wood is spent.';
  const left = fillsLeft(barrel);
  if (!left || left.high === 0) return 'By its fills, its wood is nearly spent.';
  return `By its fills it would still give ${fillsRange(left)} more of ${SPIRITS[left.spirit] ?? 'a spirit'}.`;
}

/** "Lent to the club across the water, back by 1 May." */
export function loanWords(barrel: Pick<Barrel, 'loan'>, now: Moment): string | null {
  if (!barrel.loan) return null;
  const back = barrel.loan.back_by
    ? `, back by ${nearDayOf(Date.parse(`${barrel.loan.back_by}T12:00:00Z`), now)}`
    : '';
  return `Lent to ${barrel.loan.borrower}${back}.`;
}
