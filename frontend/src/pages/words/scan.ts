/** Where a scanned tag leads. */

import type { Barrel } from '~/api/types.ts';

/** Straight to the score where there is something to taste, else to the barrel. */
export function afterScan(barrel: Barrel): string {
  const isHeld = barrel.troubles.some((trouble) => trouble.quarantine);
  const isTaste = barrel.contents?.kind === 'fill' && barrel.contents.may_taste && !isHeld;
  return isTaste ? `/barrels/${barrel.id}/taste` : `/barrels/${barrel.id}`;
}
