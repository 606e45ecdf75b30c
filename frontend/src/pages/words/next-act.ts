/** The one thing to do next at a barrel. */

import type { Barrel } from '~/api/types.ts';
import { isInSolution } from './barrel.ts';

export type NextAct =
  | {
      act:
        | 'taste'
        | 'water_changed'
        | 'top_up'
        | 'reserve'
        | 'fill'
        | 'settle'
        | 'decant'
        | 'cure'
        | 'hold'
        | 'back';
      label: string;
    }
  | { act: 'none'; label: '' };

/** What the middle plank says: by what the barrel holds, and by what its reader may do. */
export function nextAct(
  barrel: Barrel,
  may: { tend: boolean; settle: boolean; fill?: boolean; decant?: boolean; fillNext?: boolean },
): NextAct {
  const isQuarantined = barrel.troubles.some((trouble) => trouble.quarantine);
  const isMissing = barrel.troubles.some((trouble) => trouble.kind === 'missing');
  if ((isQuarantined || isMissing) && may.settle) return { act: 'settle', label: 'Settle the trouble' };
  // What is not here is neither tasted nor filled.
  if (isMissing) return { act: 'none', label: '' };
  if (barrel.loan) return may.settle ? { act: 'back', label: 'It is back' } : { act: 'none', label: '' };
  if (isInSolution(barrel))
    return may.tend ? { act: 'hold', label: 'The solution' } : { act: 'none', label: '' };
  switch (barrel.state) {
    case 'filled':
      // Somebody decided that it has had its time: nothing else is next.
      if (may.decant) return { act: 'decant', label: 'Decant it' };
      if (barrel.contents?.may_taste && !isQuarantined) return { act: 'taste', label: 'Taste' };
      return may.tend ? { act: 'top_up', label: 'Top up' } : { act: 'none', label: '' };
    case 'held':
      // The water is fresh and the hold is long: a fill is the best care, as the hold's own screen says.
      if (may.fillNext)
        return may.fill ? { act: 'fill', label: 'Fill it next' } : { act: 'reserve', label: 'Reserve it' };
      return may.tend
        ? { act: 'water_changed', label: 'Water changed' }
        : { act: 'reserve', label: 'Reserve it' };
    case 'new':
      return may.settle ? { act: 'cure', label: 'Cure it' } : { act: 'none', label: '' };
    case 'curing':
      if (may.settle) return { act: 'cure', label: 'Curing' };
      return may.tend ? { act: 'top_up', label: 'Top up' } : { act: 'none', label: '' };
    case 'ready':
    case 'empty':
      return may.fill ? { act: 'fill', label: 'Fill it' } : { act: 'reserve', label: 'Reserve it' };
    default:
      return { act: 'none', label: '' };
  }
}
