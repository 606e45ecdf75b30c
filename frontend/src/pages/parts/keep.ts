/** Keeping an entry from a form, with the sentence for when it cannot be kept. */

import { countUse } from '~/components/lesson/uses.ts';
import type { Bodies } from '~/outbox/bodies.ts';
import { type Recorded, type RecordOptions, record, revise } from '~/outbox/record.ts';
import { syncStatus } from '~/sync/status.ts';
import { didSentence, savedSentence } from '../words/kept.ts';
import { practised } from '../words/practised.ts';

export type Kept = { ok: true; recorded: Recorded } | { ok: false; words: string };

/** Keeps an entry, and counts it for the lessons; a full phone is told, never swallowed. */
export async function keep<C extends keyof Bodies & string>(
  collection: C,
  body: Bodies[C],
  options: RecordOptions = {},
): Promise<Kept> {
  try {
    const recorded = await record(collection, body, options);
    for (const lesson of practised(collection, body)) countUse(lesson);
    return { ok: true, recorded };
  } catch (error) {
    const words = error instanceof Error && error.message ? error.message : 'The entry is not kept.';
    return { ok: false, words };
  }
}

/** What was done, and where its entry is now. */
export function didWords(what: string): string {
  return didSentence(what, syncStatus.value.has_signal);
}

/** Keeps an edit of a register's row, with the sentence for when it cannot be kept. */
export async function keepEdit(...edit: Parameters<typeof revise>): Promise<Kept> {
  try {
    return { ok: true, recorded: await revise(...edit) };
  } catch (error) {
    return { ok: false, words: error instanceof Error ? error.message : 'It is not kept.' };
  }
}

/** Where a kept entry is now, in three words. */
export function keptWords(): string {
  return savedSentence(syncStatus.value.has_signal);
}
