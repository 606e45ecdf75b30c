/** Whether the browser promises to keep what this phone holds. */

import { signal } from '@preact/signals';

export type StorageTrouble = 'may_be_cleared' | 'full' | 'unavailable' | 'newer_version_open';

/** One proud line on the screens; null when all is well. */
export const storageTrouble = signal<StorageTrouble | null>(null);

/** The entry could not be kept: the phone is full. */
export class StoreFull extends Error {
  override name = 'StoreFull';
}

/** The entry could not be kept: the browser gives this site no storage, or a newer app holds it. */
export class StoreUnavailable extends Error {
  override name = 'StoreUnavailable';
}

/** Asks the browser to keep this site's data; a denial is told, not hidden. */
export async function askToKeep(): Promise<void> {
  const storage = navigator.storage;
  if (!storage?.persist) return;
  try {
    const kept = (await storage.persisted?.()) || (await storage.persist());
    if (kept) {
      if (storageTrouble.peek() === 'may_be_cleared') storageTrouble.value = null;
    } else if (storageTrouble.peek() === null) {
      storageTrouble.value = 'may_be_cleared';
    }
  } catch {
    // The question itself failed: nothing is known, so nothing is claimed.
  }
}

/** Turns what the browser throws on a write into one of our two errors, and remembers it for the screens. */
export function storeError(error: unknown): Error {
  if (error instanceof StoreFull || error instanceof StoreUnavailable) return error;
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError') {
    storageTrouble.value = 'full';
    return new StoreFull('This phone is full; the entry is not kept.', { cause: error });
  }
  return new StoreUnavailable('This browser keeps nothing for this site; the entry is not kept.', {
    cause: error,
  });
}

/** A write worked: the phone is not full (any more). */
export function storeWorked(): void {
  if (storageTrouble.peek() === 'full') storageTrouble.value = null;
}
