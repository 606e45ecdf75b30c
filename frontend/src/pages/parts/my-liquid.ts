/** Whether the reader works with a liquid: the keeper always, its people where the club lets sharers do it. */

import type { Share } from '~/api/types.ts';
import { barrelBy, club } from '~/outbox/overlay.ts';
import { isKeeper, myId } from './me.ts';

export function mayWork(of: { barrel: string | null; shares: readonly Share[] }): boolean {
  const me = myId();
  const isOwner = barrelBy(of.barrel ?? '')?.owners.some((share) => share.person === me) ?? false;
  const isSharer = of.shares.some((share) => share.person === me);
  return isKeeper() || isOwner || (isSharer && club.value?.sharers_may_fill === true);
}
