import { beforeEach, describe, expect, test } from 'vitest';
import type { Photo } from '~/api/types.ts';
import type { Answered } from '~/outbox/conflict.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { createPhotoReplay, type PhotoReplay } from '~/outbox/photo-replay.ts';
import { photoAdd, photosQueued, type Ready, readyPhotos, withRemovals } from '~/outbox/photos.ts';
import {
  queueAdd,
  queueAll,
  queueDiscard,
  queueDone,
  queueKeepOnlyUnsent,
  queueMend,
  queueRefused,
  queueSending,
  queueTakeBack,
  queueUnsentCount,
} from '~/outbox/queue.ts';
import type { ClubDatabase } from '~/store/db.ts';
import { actAnswer, CLUB, freshDatabase, MEMBER, NEAP, NOON_MS, tasting } from '../cast.ts';

let db: ClubDatabase;
let now_ms: number;
let sent: Ready[];
let answer: (ready: Ready) => Answered | null;
let replay: PhotoReplay;
let isSignedIn: boolean;

const photoRow = ({ photo, act }: Ready): Photo => ({
  id: photo.id,
  act,
  barrel: NEAP,
  author: MEMBER,
  sha256: 'f'.repeat(64),
  width_px: 40,
  height_px: 30,
  size_bytes: 700,
  received_at: '2026-03-01T12:00:02Z',
  removed_at: null,
  removed_by: null,
});
const said = (status: number, body: unknown): Answered => ({ status, body, retry_after_ms: null });

function start(): PhotoReplay {
  return createPhotoReplay({
    db,
    club: CLUB,
    mayGo: () => isSignedIn,
    deliver: async (ready) => {
      sent.push(ready);
      return answer(ready);
    },
    now: () => now_ms,
    random: () => 0.5,
  });
}

beforeEach(async () => {
  db = await freshDatabase();
  now_ms = NOON_MS;
  sent = [];
  isSignedIn = true;
  answer = (ready) => said(201, photoRow(ready));
  replay = start();
});

let made = 0;
async function photo(act: string): Promise<string> {
  made += 1;
  const id = `99999999-9999-7999-8999-${String(made).padStart(12, '0')}`;
  await photoAdd(db, {
    id,
    act,
    barrel: NEAP,
    author: MEMBER,
    file: new Uint8Array([255, 216, 255, made]).buffer,
    digest: 'x',
    made_at_ms: NOON_MS + made,
  });
  return id;
}

async function arrived(): Promise<string> {
  const entry = await queueAdd(db, tasting());
  await queueSending(db, entry.id);
  await queueDone(db, entry.id, actAnswer(entry), NOON_MS);
  return entry.id;
}

const refusal = { status: 422, code: 'impossible_value', title: '', detail: 'No.', fields: [] };

describe('a photo of this phone', () => {
  test('waits for its entry, and goes once that has arrived', async () => {
    const entry = await queueAdd(db, tasting());
    await photo(entry.id);
    expect(await replay.run()).toEqual({ done: 0, next_try_at_ms: null });
    expect(sent).toEqual([]);

    await queueSending(db, entry.id);
    await queueDone(db, entry.id, actAnswer(entry), NOON_MS);
    expect(await replay.run()).toEqual({ done: 1, next_try_at_ms: null });
    expect(sent.map((one) => one.act)).toEqual([entry.id]);
    expect(await photosQueued(db)).toEqual([]);
    expect((await db.getAll('photos')).map((kept) => kept.act)).toEqual([entry.id]);
  });

  test('goes at once when its entry left the queue long ago', async () => {
    await photo('88888888-8888-7888-8888-888888888888');
    expect(await replay.run()).toMatchObject({ done: 1 });
  });

  test('goes one a turn, oldest first, so that a new entry is not held up', async () => {
    const act = await arrived();
    const [first, second] = [await photo(act), await photo(act)];
    expect(await replay.run()).toEqual({ done: 1, next_try_at_ms: 0 });
    expect(await replay.run()).toEqual({ done: 1, next_try_at_ms: null });
    expect(sent.map((one) => one.photo.id)).toEqual([first, second]);
  });

  test('survives a phone killed while it was sent: the same file under the same id goes again', async () => {
    await photo(await arrived());
    answer = () => {
      throw new Error('killed');
    };
    await expect(replay.run()).rejects.toThrow('killed');

    answer = (ready) => said(200, photoRow(ready));
    replay = start();
    expect(await replay.run()).toMatchObject({ done: 1 });
    expect(sent[0]?.photo.id).toBe(sent[1]?.photo.id);
    expect(new Uint8Array(sent[1]!.photo.file)).toEqual(new Uint8Array(sent[0]!.photo.file));
  });

  test.each([
    ['nobody answers', null],
    ['the server fails', said(500, null)],
    ['the café’s network answers', said(200, { id: 'welcome' })],
    ['it is too much at once', said(429, {})],
    ['nobody is signed in', said(401, {})],
    ['the token is stale', said(403, { code: 'csrf_failed' })],
  ])('is kept and tried again when %s', async (_why, first) => {
    await photo(await arrived());
    answer = () => first;
    const end = await replay.run();
    expect(end.done).toBe(0);
    expect(end.next_try_at_ms).toBeGreaterThan(NOON_MS);
    expect(await replay.run()).toEqual(end);
    expect(sent).toHaveLength(1);

    now_ms = end.next_try_at_ms!;
    answer = (ready) => said(201, photoRow(ready));
    expect(await replay.run()).toMatchObject({ done: 1 });
  });

  test('that the server will not have waits for its author and holds up no other', async () => {
    const act = await arrived();
    const bad = await photo(act);
    await photo(act);
    answer = (ready) =>
      ready.photo.id === bad
        ? said(422, { status: 422, code: 'not_a_photo', detail: 'This is no photo.' })
        : said(201, photoRow(ready));
    await replay.run();
    expect(await replay.run()).toEqual({ done: 1, next_try_at_ms: null });
    expect((await photosQueued(db)).map((one) => [one.id, one.refused])).toEqual([
      [bad, 'This is no photo.'],
    ]);
  });

  test('does not go for another account', async () => {
    await photo(await arrived());
    isSignedIn = false;
    expect(await replay.run()).toEqual({ done: 0, next_try_at_ms: null });
    expect(sent).toEqual([]);
  });

  test('follows an entry that was sent back and mended, under its new id', async () => {
    const entry = await queueAdd(db, tasting());
    await photo(entry.id);
    await queueSending(db, entry.id);
    await queueRefused(db, entry.id, refusal);
    expect(readyPhotos(await photosQueued(db), await queueAll(db))).toEqual([]);

    const mended = await queueMend(db, entry.id, tasting(NEAP, { liking: 5 }));
    const id = mended?.id ?? '';
    await queueSending(db, id);
    expect(readyPhotos(await photosQueued(db), await queueAll(db))).toEqual([]);
    const whole = (await db.get('outbox', id))!;
    await db.put('outbox', { ...whole, state: 'done' });
    expect(readyPhotos(await photosQueued(db), await queueAll(db)).map((one) => one.act)).toEqual([id]);
  });

  test('is dropped with an entry that is taken back or thrown away, and only then', async () => {
    const undone = await queueAdd(db, tasting());
    await photo(undone.id);
    const back = await queueAdd(db, tasting());
    await photo(back.id);
    const kept = await photo(await arrived());
    await queueTakeBack(db, undone.id);
    await queueSending(db, back.id);
    expect(await queueTakeBack(db, back.id)).toBe(false);
    await queueRefused(db, back.id, refusal);
    await queueDiscard(db, back.id);

    expect((await photosQueued(db)).map((one) => one.id)).toEqual([kept]);
  });

  test('counts as unsent when somebody signs out, and stays', async () => {
    await photo(await arrived());
    expect(await queueUnsentCount(db)).toBe(1);
    expect(await queueKeepOnlyUnsent(db)).toBe(1);
    expect(await photosQueued(db)).toHaveLength(1);
  });
});

describe('a photo that is taken back', () => {
  const kept = photoRow({ photo: { id: 'photo' }, act: 'act' } as Ready);
  const removal = (more: Partial<OutboxEntry> = {}): OutboxEntry => ({
    ...tasting(),
    order: 1,
    collection: 'photo-removals',
    body: { photo: 'photo', happened_at: '2026-03-01T13:00:00Z' },
    ...more,
  });

  test('is gone on this phone at once, with who and when', () =>
    expect(withRemovals([kept], [removal()])).toEqual([
      { ...kept, removed_at: '2026-03-01T13:00:00Z', removed_by: MEMBER },
    ]));

  test('is there again where the server would not have it, and others are left alone', () => {
    expect(withRemovals([kept], [removal({ state: 'refused' })])).toEqual([kept]);
    expect(withRemovals([{ ...kept, id: 'another' }], [removal()])[0]?.removed_at).toBeNull();
  });

  test('stays taken back by whoever was first', () => {
    const gone = { ...kept, removed_at: '2026-03-01T12:30:00Z', removed_by: 'keeper' };
    expect(withRemovals([gone], [removal()])).toEqual([gone]);
  });

  test('one kept by an earlier app counts as there', () => {
    const { removed_at: _at, removed_by: _by, ...old } = kept;
    expect(withRemovals([old as Photo], [])[0]?.removed_at).toBeNull();
  });
});
