/** Whether this phone is still reading the club for the first time: what it holds so far is no picture of it. */

import { syncStatus } from '~/sync/status.ts';

export function isFirstLoad(): boolean {
  const { first_load, has_signal, problem } = syncStatus.value;
  return first_load && has_signal && problem === null;
}
