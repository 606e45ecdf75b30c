/** How fresh the screen is, and what still has to go. */

import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Problem } from '../api/errors.ts';
import { isSentBack, isUnsent } from '../outbox/entry.ts';
import { queuedPhotos } from '../outbox/photos.ts';
import { outboxEntries } from '../outbox/queue.ts';
import { live } from '../store/live.ts';

export { storageTrouble } from '../store/storage.ts';

export interface SyncStatus {
  /** When the club was last read in full, by this phone's clock. */
  as_of_ms: number | null;
  has_signal: boolean;
  no_signal_since_ms: number | null;
  pulling: boolean;
  /** Why nothing is sent: nobody, or somebody else, is signed in. */
  paused: null | 'signed_out' | 'other_account';
  /** What the last reading of the club failed on, when it was not the signal. */
  problem: Problem | null;
  /** Nothing was ever read: the screens show their bones. */
  first_load: boolean;
}

type Reported = Omit<SyncStatus, 'as_of_ms' | 'first_load'>;

const AT_REST: Reported = {
  has_signal: true,
  no_signal_since_ms: null,
  pulling: false,
  paused: null,
  problem: null,
};

const current = signal<Reported>(AT_REST);

/** Stored by whichever tab pulled; undefined until it was looked up, null when nothing was ever pulled. */
export const asOf: ReadonlySignal<number | null | undefined> = live<number | null | undefined>(
  ['meta'],
  undefined,
  async (db) => ((await db.get('meta', 'as_of_ms')) as number | undefined) ?? null,
);

export const syncStatus: ReadonlySignal<SyncStatus> = computed(() => ({
  ...current.value,
  as_of_ms: asOf.value ?? null,
  first_load: asOf.value === null,
}));

export function reportStatus(change: Partial<Reported>): void {
  current.value = { ...current.peek(), ...change };
}

export function resetStatus(): void {
  const { has_signal, no_signal_since_ms } = current.peek();
  current.value = { ...AT_REST, has_signal, no_signal_since_ms };
}

/** Notes an answer or its absence; "since when" is kept over repeated failures. */
export function reportSignal(has_signal: boolean, now_ms: number): void {
  const before = current.peek();
  if (before.has_signal === has_signal) return;
  reportStatus({ has_signal, no_signal_since_ms: has_signal ? null : now_ms });
}

export const unsentCount: ReadonlySignal<number> = computed(
  () => outboxEntries.value.filter(isUnsent).length + queuedPhotos.value.length,
);
export const sentBackCount: ReadonlySignal<number> = computed(
  () =>
    outboxEntries.value.filter(isSentBack).length +
    queuedPhotos.value.filter((photo) => photo.refused !== null).length,
);
