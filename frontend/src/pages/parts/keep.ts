/** Keeping an entry from a form, with the sentence for when it cannot be kept. */

import type { Bodies } from '~/outbox/bodies.ts';
import { type Recorded, type RecordOptions, record } from '~/outbox/record.ts';
import { syncStatus } from '~/sync/status.ts';

export type Kept = { ok: true; recorded: Recorded } | { ok: false; words: string };

/** Keeps an entry; a full phone is told, never swallowed. */
export async function keep<C extends keyof Bodies & string>(
  collection: C,
  body: Bodies[C],
  options: RecordOptions = {},
): Promise<Kept> {
  try {
    return { ok: true, recorded: await record(collection, body, options) };
  } catch (error) {
    const words = error instanceof Error && error.message ? error.message : 'The entry is not kept.';
    return { ok: false, words };
  }
}

/** Where a kept entry is now, in three words. */
export function keptWords(): string {
  return syncStatus.value.has_signal ? 'Saved. On its way.' : 'Saved. Kept on this phone.';
}
