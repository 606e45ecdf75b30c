import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { chooseClub, refreshSession } from '~/api/session.ts';
import { judge } from '~/outbox/conflict.ts';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { unsentFile } from '~/outbox/file.ts';
import {
  outboxEntries,
  queueAll,
  queueDone,
  queueKeepOnlyUnsent,
  queueRefused,
  queueSending,
  queueSweep,
} from '~/outbox/queue.ts';
import { discard, keepMine, mend, record, revise, settled, takeBack } from '~/outbox/record.ts';
import { sentBackWords, stateWords, unsentWords } from '~/outbox/words.ts';
import { type ClubDatabase, database } from '~/store/db.ts';
import {
  actAnswer,
  CLUB,
  FILL,
  freshDatabase,
  logEntry,
  MEMBER,
  NEAP,
  NOON_MS,
  reservation,
  SESSION,
  tasting,
} from '../cast.ts';

let db: ClubDatabase;
const body = { barrel: NEAP, fill: FILL, tasted_on: '2026-03-01', liking: 7.5 };

beforeEach(async () => {
  vi.stubGlobal('fetch', async () => Response.json(SESSION));
  await refreshSession();
  chooseClub(CLUB);
  db = await freshDatabase();
  database.value = db;
});

afterEach(() => {
  database.value = null;
  vi.unstubAllGlobals();
});

async function refuse(id: string): Promise<void> {
  await queueSending(db, id);
  await queueRefused(db, id, {
    status: 422,
    code: 'impossible_value',
    title: 'No',
    detail: 'Over 10.',
    fields: [],
  });
}

describe('recording', () => {
  test('it is safe on the phone when it returns, with its times and a UUIDv7', async () => {
    const { id } = await record('tastings', body);
    const [entry] = await queueAll(db);

    // Source: RFC 9562, section 5.7: version 7 in the third group, variant 10xx in the fourth.
    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    expect(entry).toMatchObject({ id, state: 'queued', barrel: NEAP, author: MEMBER });
    expect(entry?.path).toBe(`/api/v1/clubs/${CLUB}/tastings/${id}`);
    expect(entry?.body).toMatchObject({ schema: 1, ...body });
    expect(entry?.body.happened_at).toMatch(/[+-]\d\d:\d\d$/);
    expect(JSON.parse(entry?.text ?? '')).toEqual(entry?.body);
  });

  test('it gives rising ids in the order of writing', async () => {
    const ids: string[] = [];
    for (let i = 0; i < 50; i++) ids.push((await record('tastings', body)).id);
    expect(ids).toEqual([...ids].sort());
    expect((await queueAll(db)).map((entry) => entry.id)).toEqual(ids);
  });

  test('it keeps the time that a person typed', async () => {
    await record('tastings', { ...body, happened_at: '2026-02-27T19:30:00+01:00', time_typed: true });
    expect((await queueAll(db))[0]?.body).toMatchObject({
      happened_at: '2026-02-27T19:30:00+01:00',
      time_typed: true,
    });
  });

  test('it finds the barrel of a void through what it voids', async () => {
    await db.put('log', { ...logEntry(), id: FILL, round: 0, row: logEntry(), barrel: NEAP, at_ms: 0 });
    const { entry } = await record('voids', { act: FILL, reason: 'Twice.' });
    expect(entry.barrel).toBe(NEAP);
  });

  test('it refuses plainly when nothing can be kept', async () => {
    database.value = null;
    await expect(record('tastings', body)).rejects.toMatchObject({ name: 'StoreUnavailable' });
  });

  test('it takes back what was not sent, and only that', async () => {
    const first = await record('tastings', body, { hold_ms: 6_000 });
    expect(await takeBack(first.id)).toBe(true);
    expect(await queueAll(db)).toEqual([]);
    const second = await record('tastings', body);
    await queueSending(db, second.id);
    expect(await takeBack(second.id)).toBe(false);
    expect(await queueAll(db)).toHaveLength(1);
  });
});

describe('what was sent back', () => {
  test('a mend keeps when it happened and when it was entered', async () => {
    const { id, entry } = await record('tastings', { ...body, liking: 11 });
    await refuse(id);
    const mended = await mend(id, { ...entry.body, liking: 10 });
    expect(mended?.entry.body).toEqual({ ...entry.body, liking: 10 });
    expect(mended?.entry).toMatchObject({ mends: id, barrel: NEAP, state: 'queued' });
  });

  test('it is removed on its author’s word, and nothing else is', async () => {
    const kept = await record('tastings', body);
    expect(await discard(kept.id)).toBe(false);
    await refuse(kept.id);
    expect(await discard(kept.id)).toBe(true);
    expect(await queueAll(db)).toEqual([]);
  });

  test('my edit goes again against the version that they made', async () => {
    const { id } = await revise('barrels', NEAP, 3, { name: 'Slack Water' });
    const entry = (await db.get('outbox', id)) ?? expect.unreachable();
    await db.put('outbox', { ...entry, state: 'conflicted', theirs: { id: NEAP, version: 7 } });
    const again = await keepMine(id);
    expect(again?.entry).toMatchObject({
      base_version: 7,
      method: 'PATCH',
      body: { name: 'Slack Water' },
      mends: id,
    });
    expect(again?.entry.path).toBe(`/api/v1/clubs/${CLUB}/barrels/${NEAP}`);
  });
});

describe('waiting for an answer', () => {
  test('it resolves as soon as the entry is settled', async () => {
    const { id, entry } = await record('tastings', body);
    const waiting = settled(id);
    await queueSending(db, id);
    await queueDone(db, id, actAnswer(entry), NOON_MS);
    expect(await waiting).toMatchObject({ state: 'done' });
  });

  test('it gives the entry as it stands when time is up', async () => {
    const { id } = await record('tastings', body);
    expect(await settled(id, { timeout_ms: 20 })).toMatchObject({ id, state: 'queued' });
  });
});

describe('what an answer means', () => {
  test('a reservation is named by its row, a decision by the reservation it decided', () => {
    const make = (collection: string, more: object): OutboxEntry => ({
      ...makeEntry({ club: CLUB, author: MEMBER, collection, body: { ...more }, now_ms: NOON_MS }),
      order: 1,
    });
    const asked = make('reservations', { barrel: NEAP });
    const yes = { reservation: reservation({ id: asked.id }), clash: null, next_free_on: null };
    expect(judge(asked, { status: 201, body: yes, retry_after_ms: null }).kind).toBe('done');
    expect(
      judge(asked, { status: 201, body: { reservation: reservation() }, retry_after_ms: null }).kind,
    ).toBe('wait');
    const decided = make('reservation-decisions', { reservation: reservation().id, decision: 'confirm' });
    const answer = { reservation: reservation(), clash: null, next_free_on: null };
    expect(judge(decided, { status: 201, body: answer, retry_after_ms: null }).kind).toBe('done');
  });

  test('a refusal without a reason still has a sentence', () => {
    const outcome = judge({ ...tasting(), order: 1 }, { status: 413, body: null, retry_after_ms: null });
    expect(outcome).toMatchObject({ kind: 'refused', problem: { code: 'http_413' } });
    expect(outcome.kind === 'refused' && outcome.problem.detail).toContain('413');
  });
});

describe('words', () => {
  const entry: OutboxEntry = { ...tasting(), order: 1 };
  test.each<[Partial<OutboxEntry>, string]>([
    [{}, 'On this phone. It goes in its turn.'],
    [{ state: 'sending' }, 'Going now.'],
    [{ state: 'done', answer: { placement: 'placed' } }, 'Sent.'],
    [{ state: 'done', answer: { placement: 'set_aside' } }, 'Kept. The keeper must place it.'],
    [{ trouble: 'no_signal' }, 'On this phone. It goes when there is signal.'],
    [{ trouble: 'signed_out' }, 'On this phone. It goes when you have signed in again.'],
    [
      { trouble: 'busy', next_try_at_ms: NOON_MS + 300_000 },
      'On this phone. The server is busy. It will try again at 12:05.',
    ],
  ])('it says %o as "%s"', (more, words) => {
    expect(stateWords({ ...entry, ...more }, NOON_MS, 'UTC')).toBe(words);
  });

  test('it counts what is unsent and what was sent back', () => {
    const entries = [entry, { ...entry, state: 'refused' as const }, { ...entry, state: 'done' as const }];
    expect(unsentWords(entries)).toBe('2 not yet sent');
    expect(sentBackWords(entries)).toBe('1 sent back');
    expect(unsentWords([])).toBe('');
  });
});

describe('keeping and clearing', () => {
  test('age removes only what arrived and was read back', async () => {
    const year_ms = 365 * 86_400_000;
    const waiting = await record('tastings', body);
    const refused = await record('tastings', body);
    await refuse(refused.id);
    const unread = await record('tastings', body);
    await queueDone(db, unread.id, actAnswer(unread.entry), NOON_MS);
    const read = await record('tastings', body);
    await queueDone(db, read.id, actAnswer(read.entry), NOON_MS);
    await db.put('outbox', { ...((await db.get('outbox', read.id)) as OutboxEntry), is_read_back: true });
    await queueSweep(db, NOON_MS + year_ms);
    expect((await queueAll(db)).map((entry) => entry.id)).toEqual([waiting.id, refused.id, unread.id]);
  });

  test('sign-out leaves what would be lost', async () => {
    const waiting = await record('tastings', body);
    const sent = await record('tastings', body);
    await queueDone(db, sent.id, actAnswer(sent.entry), NOON_MS);
    expect(await queueKeepOnlyUnsent(db)).toBe(1);
    expect((await queueAll(db)).map((entry) => entry.id)).toEqual([waiting.id]);
  });

  test('the file for the keeper holds each entry as it would be sent', async () => {
    const { entry } = await record('tastings', body);
    const [person] = SESSION.persons;
    const file = unsentFile(person ?? expect.unreachable(), [entry], NOON_MS);
    expect(JSON.parse(JSON.stringify(file))).toMatchObject({
      kind: 'staveward-unsent',
      schema: 1,
      club: { id: CLUB },
      author: { id: MEMBER },
      entries: [{ id: entry.id, method: 'PUT', path: entry.path, body: entry.body }],
    });
  });

  test('the screens see the queue as it moves', async () => {
    const seen: number[] = [];
    const stop = outboxEntries.subscribe((entries) => seen.push(entries.length));
    await record('tastings', body);
    await vi.waitFor(() => expect(seen.at(-1)).toBe(1));
    stop();
  });
});
