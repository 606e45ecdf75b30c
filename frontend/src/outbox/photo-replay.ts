/** Sends the photos whose entries have arrived, one a turn, so that an entry made meanwhile goes first. */

import { requestTo } from '../api/client.ts';
import { problemFrom } from '../api/errors.ts';
import type { Photo, Uuid } from '../api/types.ts';
import type { ClubDatabase } from '../store/db.ts';
import type { Answered } from './conflict.ts';
import { BACK_OFF_MOST_MS, backOffMs, isDue, NO_SIGNAL_MOST_MS } from './entry.ts';
import {
  duePhotos,
  photoDone,
  photoRefused,
  photosQueued,
  photoWait,
  type Ready,
  readyPhotos,
} from './photos.ts';
import { queueAll } from './queue.ts';
import { answerOf } from './replay.ts';

/** A picture takes its time on a bad line. */
export const PHOTO_WITHIN_MS = 120_000;

export interface PhotoNeeds {
  db: ClubDatabase;
  club: Uuid;
  mayGo: () => boolean;
  deliver?: (ready: Ready) => Promise<Answered | null>;
  now?: () => number;
  random?: () => number;
}

export interface PhotoEnd {
  done: number;
  /** When another run makes sense; null when nothing waits that could go. */
  next_try_at_ms: number | null;
}

export interface PhotoReplay {
  run(): Promise<PhotoEnd>;
  hurry(): void;
}

function deliverByHttp(club: Uuid, { photo, act }: Ready): Promise<Answered | null> {
  const request = requestTo(`/api/v1/clubs/${club}/photos/${photo.id}?act=${act}`, {
    method: 'PUT',
    headers: { 'Content-Type': 'image/jpeg', 'Content-Digest': `sha-256=:${photo.digest}:` },
    body: photo.file,
  });
  return answerOf(request, PHOTO_WITHIN_MS);
}

function namesPhoto(answered: Answered, id: Uuid): boolean {
  const row = answered.body as Partial<Photo> | null;
  return (answered.status === 200 || answered.status === 201) && row?.id === id;
}

export function createPhotoReplay(needs: PhotoNeeds): PhotoReplay {
  const { db, club, mayGo } = needs;
  const deliver = needs.deliver ?? ((ready: Ready) => deliverByHttp(club, ready));
  const now = needs.now ?? Date.now;
  const random = needs.random ?? Math.random;
  let waitUntil_ms = 0;

  async function send(ready: Ready): Promise<number> {
    const { photo } = ready;
    const answered = await deliver(ready);
    if (answered && namesPhoto(answered, photo.id)) {
      await photoDone(db, photo.id, answered.body as Photo);
      return 1;
    }
    // A plain no is the photo's own; signed out, busy or no answer may be otherwise later.
    const status = answered?.status ?? 0;
    const isNo = status >= 400 && status < 500 && ![401, 408, 425, 429].includes(status);
    const problem = answered && isNo ? problemFrom(status, answered.body) : null;
    if (problem && problem.code !== 'csrf_failed') {
      await photoRefused(db, photo.id, problem.detail);
      return 0;
    }
    const most_ms = answered === null ? NO_SIGNAL_MOST_MS : BACK_OFF_MOST_MS;
    waitUntil_ms = now() + (answered?.retry_after_ms ?? backOffMs(photo.tries + 1, random, most_ms));
    await photoWait(db, photo.id, waitUntil_ms);
    return 0;
  }

  async function waiting(): Promise<Ready[]> {
    return readyPhotos(await photosQueued(db), await queueAll(db));
  }

  async function run(): Promise<PhotoEnd> {
    const next = duePhotos(await waiting(), now())[0];
    const mayRun = next !== undefined && mayGo() && isDue(waitUntil_ms, now());
    const done = mayRun ? await send(next) : 0;
    const left = mayGo() ? await waiting() : [];
    const times = left.map(({ photo }) => Math.max(photo.next_try_at_ms, waitUntil_ms));
    return { done, next_try_at_ms: times.length > 0 ? Math.min(...times) : null };
  }

  return {
    run,
    hurry() {
      waitUntil_ms = 0;
    },
  };
}
