import { effect } from '@preact/signals';
import { afterEach, expect, test, vi } from 'vitest';
import { queueAdd } from '~/outbox/queue.ts';
import { readBarrels } from '~/store/club.ts';
import { database, openDatabase } from '~/store/db.ts';
import { draft } from '~/store/drafts.ts';
import { live, stored } from '~/store/live.ts';
import { askToKeep, StoreFull, StoreUnavailable, storageTrouble, storeError } from '~/store/storage.ts';
import { barrel, EBB, freshDatabase, NEAP, tasting } from '../cast.ts';

afterEach(() => {
  database.value = null;
  storageTrouble.value = null;
  vi.unstubAllGlobals();
});

test('a live query follows the store while it is watched', async () => {
  const db = await freshDatabase();
  database.value = db;
  const seen: string[][] = [];
  const stop = effect(() => {
    seen.push(readBarrels.value.map((row) => row.name));
  });
  await db.put('barrels', { id: NEAP, round: 0, row: barrel() });
  await db.put('barrels', { id: EBB, round: 0, row: barrel({ id: EBB, name: 'Ebb' }) });
  stored(db, ['barrels']);

  await vi.waitFor(() => expect(seen.at(-1)).toEqual(['Ebb', 'Neap']));
  stop();
});

test('a live query shows nothing of a club that was left', async () => {
  const db = await freshDatabase();
  await db.put('barrels', { id: NEAP, round: 0, row: barrel() });
  database.value = db;
  let seen: unknown[] = [];
  const stop = effect(() => {
    seen = readBarrels.value;
  });
  await vi.waitFor(() => expect(seen).toHaveLength(1));
  database.value = null;
  expect(seen).toEqual([]);
  stop();
});

test('a reading that a write overtook is made again', async () => {
  const db = await freshDatabase();
  database.value = db;
  let release = (): void => {};
  let reads = 0;
  const count = live<number>(['meta'], 0, async (from) => {
    const n = await from.count('meta');
    reads += 1;
    if (reads === 1) {
      await new Promise<void>((resolve) => {
        release = resolve;
      });
    }
    return n;
  });
  let seen = -1;
  const stop = effect(() => {
    seen = count.value;
  });
  await vi.waitFor(() => expect(reads).toBe(1));
  await db.put('meta', 1, 'a');
  stored(db, ['meta']);
  release();
  await vi.waitFor(() => expect(seen).toBe(1));
  stop();
});

test('what one write changed is shown at once, however long the rows take to be read', async () => {
  const db = await freshDatabase();
  database.value = db;
  const slow = live<number>(['barrels'], 0, async (from) => {
    const n = await from.count('barrels');
    await new Promise((resolve) => setTimeout(resolve, 30));
    return n;
  });
  const quick = live<number>(['outbox', 'meta'], 0, (from) => from.count('meta'));
  const seen: string[] = [];
  const stop = effect(() => {
    seen.push(`${slow.value} ${quick.value}`);
  });
  await new Promise((resolve) => setTimeout(resolve, 50));

  // The rows come back, and the queue lets go of its entry; a moment later the queue is written once more.
  await db.put('barrels', { id: NEAP, round: 0, row: barrel() });
  await db.put('meta', 1, 'a');
  stored(db, ['barrels', 'outbox']);
  await new Promise((resolve) => setTimeout(resolve, 10));
  await db.put('meta', 1, 'b');
  stored(db, ['outbox']);

  await vi.waitFor(() => expect(seen.at(-1)).toBe('1 2'));
  expect(seen).toEqual(['0 0', '1 1', '1 2']);
  stop();
});

test('a draft outlives the page and goes when it was used', async () => {
  const db = await freshDatabase();
  database.value = db;
  const first = draft<{ liking: number }>('taste');
  first.save({ liking: 6 });
  await first.flush();

  // The app is opened again: the same store, nothing in hand.
  const reopened = await openDatabase(db.name);
  database.value = reopened;
  const second = draft<{ liking: number }>('taste');
  await vi.waitFor(() => expect(second.isReady.value).toBe(true));
  expect(second.value.value).toEqual({ liking: 6 });
  await second.clear();
  expect(await reopened.get('drafts', 'taste')).toBeUndefined();
});

test('it tells when the browser may clear the store', async () => {
  vi.stubGlobal('navigator', { storage: { persisted: async () => false, persist: async () => false } });
  await askToKeep();
  expect(storageTrouble.value).toBe('may_be_cleared');
  vi.stubGlobal('navigator', { storage: { persisted: async () => false, persist: async () => true } });
  await askToKeep();
  expect(storageTrouble.value).toBeNull();
});

test('a full phone is told as such, and as over when a write works again', async () => {
  expect(storeError(new DOMException('no room', 'QuotaExceededError'))).toBeInstanceOf(StoreFull);
  expect(storageTrouble.value).toBe('full');
  expect(storeError(new DOMException('gone', 'InvalidStateError'))).toBeInstanceOf(StoreUnavailable);
  const db = await freshDatabase();
  await queueAdd(db, tasting());
  expect(storageTrouble.value).toBeNull();
});

test('a form that is drawn anew takes up the draft where it was, before any of it was written down', async () => {
  database.value = await freshDatabase();
  draft<{ liking?: number; oak?: number }>('taste:x').save({ liking: 6 });
  const again = draft<{ liking?: number; oak?: number }>('taste:x');
  again.save({ ...again.value.peek(), oak: 0 });
  expect(again.value.peek()).toEqual({ liking: 6, oak: 0 });
});
