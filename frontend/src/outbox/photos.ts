/**
 * Photos of this phone's entries: a queue of their own beside the entries', so that a slow picture never holds up a
 * word. Each goes after its entry, is kept with its file until the server has named it, and is dropped with an entry
 * that is taken back.
 */

import { computed, type ReadonlySignal } from '@preact/signals';
import type { Photo, Uuid } from '../api/types.ts';
import type { ClubDatabase } from '../store/db.ts';
import { live, stored } from '../store/live.ts';
import type { OutboxEntry, QueuedPhoto } from '../store/records.ts';
import { keptPhoto } from '../store/rows.ts';
import { storeError, storeWorked } from '../store/storage.ts';
import { counts, isDue } from './entry.ts';
import { outboxEntries } from './queue.ts';

export type { QueuedPhoto } from '../store/records.ts';

/** Everything that waits, oldest first. */
export const queuedPhotos: ReadonlySignal<QueuedPhoto[]> = live<QueuedPhoto[]>(['photo_queue'], [], (db) =>
  photosQueued(db),
);

const sentPhotos: ReadonlySignal<Photo[]> = live<Photo[]>(['photos'], [], async (db) =>
  (await db.getAll('photos'))
    .map((kept) => kept.row)
    .sort((a, b) => a.received_at.localeCompare(b.received_at) || a.id.localeCompare(b.id)),
);

function byAct<T extends { act: Uuid }>(rows: readonly T[]): Map<Uuid, T[]> {
  const found = new Map<Uuid, T[]>();
  for (const row of rows) found.set(row.act, [...(found.get(row.act) ?? []), row]);
  return found;
}

/** Lays what this phone took back over the photos; exported for its tests. */
export function withRemovals(photos: readonly Photo[], entries: readonly OutboxEntry[]): Photo[] {
  const removed = new Map(
    entries
      .filter((entry) => entry.collection === 'photo-removals' && counts(entry))
      .map((entry) => [entry.body.photo, entry]),
  );
  return photos.map((photo) => {
    const entry = removed.get(photo.id);
    // One kept by an earlier version of the app does not know yet that it can be taken back.
    if (photo.removed_at || !entry) return { ...photo, removed_at: photo.removed_at ?? null };
    return { ...photo, removed_at: String(entry.body.happened_at), removed_by: entry.author };
  });
}

/** What the server keeps, by entry, what was taken back among it. */
export const photosByAct = computed(() => byAct(withRemovals(sentPhotos.value, outboxEntries.value)));
/** What is only on this phone, by entry. */
export const queuedByAct = computed(() => byAct(queuedPhotos.value));

export async function photosQueued(db: ClubDatabase): Promise<QueuedPhoto[]> {
  const all = await db.getAll('photo_queue');
  return all.sort((a, b) => a.made_at_ms - b.made_at_ms || a.id.localeCompare(b.id));
}

/** Keeps a photo; it is safe on the phone when this returns. */
export async function photoAdd(
  db: ClubDatabase,
  photo: Pick<QueuedPhoto, 'id' | 'act' | 'barrel' | 'author' | 'file' | 'digest' | 'made_at_ms'>,
): Promise<void> {
  try {
    const write = db.transaction('photo_queue', 'readwrite', { durability: 'strict' });
    await write.store.put({ ...photo, tries: 0, next_try_at_ms: 0, refused: null });
    await write.done;
    storeWorked();
    stored(db, ['photo_queue']);
  } catch (error) {
    throw storeError(error);
  }
}

async function change(
  db: ClubDatabase,
  id: Uuid,
  step: (photo: QueuedPhoto) => QueuedPhoto | null,
): Promise<void> {
  const write = db.transaction('photo_queue', 'readwrite');
  const photo = await write.store.get(id);
  if (photo) {
    const next = step(photo);
    await (next ? write.store.put(next) : write.store.delete(id));
  }
  await write.done;
  stored(db, ['photo_queue']);
}

export function photoWait(db: ClubDatabase, id: Uuid, next_try_at_ms: number): Promise<void> {
  return change(db, id, (photo) => ({ ...photo, tries: photo.tries + 1, next_try_at_ms }));
}

export function photoRefused(db: ClubDatabase, id: Uuid, detail: string): Promise<void> {
  return change(db, id, (photo) => ({ ...photo, refused: detail }));
}

/** Removes a photo that is only here, on its author's word. */
export function photoDiscard(db: ClubDatabase, id: Uuid): Promise<void> {
  return change(db, id, () => null);
}

/** The server named it: the file may go, and its row stands from the same moment on. */
export async function photoDone(db: ClubDatabase, id: Uuid, row: Photo): Promise<void> {
  const write = db.transaction(['photo_queue', 'photos', 'meta'], 'readwrite');
  const round = ((await write.objectStore('meta').get('round')) as number | undefined) ?? 0;
  await write.objectStore('photo_queue').delete(id);
  await write.objectStore('photos').put(keptPhoto(row, round));
  await write.done;
  stored(db, ['photo_queue', 'photos']);
}

export interface Ready {
  photo: QueuedPhoto;
  /** The entry as the server knows it: a mended one has an id of its own. */
  act: Uuid;
}

/** Which photos have an entry that arrived, in order. */
export function readyPhotos(photos: readonly QueuedPhoto[], entries: readonly OutboxEntry[]): Ready[] {
  const known = new Map(entries.map((entry) => [entry.id, entry]));
  const ready: Ready[] = [];
  for (const photo of photos) {
    let entry = known.get(photo.act);
    while (entry?.mended_by && known.has(entry.mended_by)) entry = known.get(entry.mended_by);
    // An entry that is no longer in the queue arrived long ago.
    const hasArrived = !entry || entry.state === 'done';
    if (hasArrived && photo.refused === null) ready.push({ photo, act: entry?.id ?? photo.act });
  }
  return ready;
}

export function duePhotos(ready: readonly Ready[], now_ms: number): Ready[] {
  return ready.filter(({ photo }) => isDue(photo.next_try_at_ms, now_ms));
}
