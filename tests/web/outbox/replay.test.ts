import { beforeEach, describe, expect, test } from 'vitest';
import { makeEdit, type OutboxEntry } from '~/outbox/entry.ts';
import { queueAdd, queueAll, queueMend, queueTryAgain } from '~/outbox/queue.ts';
import { createReplay, type Replay } from '~/outbox/replay.ts';
import type { ClubDatabase } from '~/store/db.ts';
import { CLUB, EBB, freshDatabase, MEMBER, NEAP, NOON_MS, tasting } from '../cast.ts';
import { FakeServer } from './server.ts';

let db: ClubDatabase;
let server: FakeServer;
let now_ms: number;
let isSignedIn: boolean;
let replay: Replay;

function start(): Replay {
  return createReplay({
    db,
    mayGo: () => isSignedIn,
    deliver: server.deliver,
    now: () => now_ms,
    random: () => 0.5,
  });
}

beforeEach(async () => {
  db = await freshDatabase();
  server = new FakeServer();
  now_ms = NOON_MS;
  isSignedIn = true;
  replay = start();
});

async function states(): Promise<string[]> {
  return (await queueAll(db)).map((entry) => entry.state);
}

async function entryOf(id: string): Promise<OutboxEntry> {
  return (await db.get('outbox', id)) ?? expect.unreachable(`no entry ${id}`);
}

describe('a run with signal', () => {
  test('it sends everything in order and keeps the rows of the answers', async () => {
    const first = await queueAdd(db, tasting(NEAP));
    const second = await queueAdd(db, tasting(NEAP));
    const third = await queueAdd(db, tasting(EBB));
    const end = await replay.run();

    expect(end).toMatchObject({ done: 3, next_try_at_ms: null, is_paused: false, has_signal: true });
    expect([...server.rows.keys()]).toEqual([first.id, second.id, third.id]);
    expect(await states()).toEqual(['done', 'done', 'done']);
    expect((await db.get('log', second.id))?.barrel).toBe(NEAP);
    expect((await entryOf(first.id)).answer).toMatchObject({ id: first.id, placement: 'placed' });
  });

  test('it does not send an entry that is held for an undo', async () => {
    await queueAdd(db, tasting(NEAP, {}, { hold_ms: 6_000 }));
    expect(await replay.run()).toMatchObject({ done: 0, next_try_at_ms: NOON_MS + 6_000 });
    now_ms += 6_000;
    expect(await replay.run()).toMatchObject({ done: 1 });
  });
});

describe('answers that are no answers', () => {
  test('it sends again after a dropped answer, and the server has one row', async () => {
    const entry = await queueAdd(db, tasting());
    server.fates = [{ kind: 'drop_answer' }, { kind: 'drop_answer' }];
    expect(await replay.run()).toMatchObject({ done: 0, has_signal: false });
    expect(server.rows.size).toBe(1);
    now_ms += 60_000;
    await replay.run();
    now_ms += 60_000;
    expect(await replay.run()).toMatchObject({ done: 1 });
    expect(server.requests).toEqual([entry.id, entry.id, entry.id]);
    expect([...server.rows.keys()]).toEqual([entry.id]);
  });

  test('it does not take a page of another network for a yes', async () => {
    await queueAdd(db, tasting());
    server.fates = [{ kind: 'portal' }];
    expect(await replay.run()).toMatchObject({ done: 0, has_signal: false });
    expect(await states()).toEqual(['queued']);
  });

  test('it does not take a yes to another row for a yes to this one', async () => {
    await queueAdd(db, tasting());
    server.fates = [{ kind: 'status', status: 201, body: { id: NEAP, row: { id: EBB } } }];
    expect(await replay.run()).toMatchObject({ done: 0 });
    expect(await states()).toEqual(['queued']);
  });

  test('it stops at the first silence instead of waiting for each entry', async () => {
    await queueAdd(db, tasting(NEAP));
    await queueAdd(db, tasting(EBB));
    server.fates = [{ kind: 'drop_request' }];
    await replay.run();
    expect(server.requests).toHaveLength(1);
  });

  test.each([408, 425, 429, 500, 502, 503, 504, 302])('it tries again after %d', async (status) => {
    const entry = await queueAdd(db, tasting());
    server.fates = [{ kind: 'status', status }];
    const end = await replay.run();

    expect(await states()).toEqual(['queued']);
    expect(end.next_try_at_ms).toBeGreaterThan(now_ms);
    now_ms = end.next_try_at_ms ?? expect.unreachable();
    expect(await replay.run()).toMatchObject({ done: 1 });
    expect(server.requests).toEqual([entry.id, entry.id]);
  });

  test('it waits as long as the server says', async () => {
    await queueAdd(db, tasting());
    server.fates = [{ kind: 'status', status: 429, retry_after_ms: 120_000 }];
    expect((await replay.run()).next_try_at_ms).toBe(NOON_MS + 120_000);
    await replay.hurry('signal');
    expect((await replay.run()).next_try_at_ms).toBe(NOON_MS + 120_000);
    await replay.hurry('person');
    expect(await replay.run()).toMatchObject({ done: 1 });
  });

  test('it goes at once when signal is back', async () => {
    await queueAdd(db, tasting());
    server.fates = [{ kind: 'drop_request' }];
    await replay.run();
    await replay.hurry('signal');
    expect(await replay.run()).toMatchObject({ done: 1 });
  });

  test('it does not wait for a time that a wrong clock had set', async () => {
    await queueAdd(db, tasting());
    now_ms += 5 * 365 * 86_400_000;
    server.fates = [{ kind: 'status', status: 500 }];
    await replay.run();
    now_ms = NOON_MS;
    expect(await start().run()).toMatchObject({ done: 1 });
  });

  test('it backs off further each time, and never past its bound', async () => {
    await queueAdd(db, tasting());
    server.fates = Array.from({ length: 14 }, () => ({ kind: 'status', status: 500 }) as const);
    const waits: number[] = [];
    for (let i = 0; i < 14; i++) {
      const end = await replay.run();
      waits.push((end.next_try_at_ms ?? 0) - now_ms);
      now_ms = end.next_try_at_ms ?? now_ms;
    }
    expect(waits).toEqual([...waits].sort((a, b) => a - b));
    expect(waits[0]).toBe(1_500);
    expect(waits.at(-1)).toBe(225_000);
  });

  test('a fault over one entry does not hold up another barrel, but its own barrel keeps its order', async () => {
    const first = await queueAdd(db, tasting(NEAP));
    const behind = await queueAdd(db, tasting(NEAP));
    const other = await queueAdd(db, tasting(EBB));
    server.fates = [{ kind: 'status', status: 500 }];
    await replay.run();
    expect([...server.rows.keys()]).toEqual([other.id]);
    now_ms += 600_000;
    await replay.run();
    expect([...server.rows.keys()]).toEqual([other.id, first.id, behind.id]);
  });
});

describe('refusals', () => {
  test.each([400, 403, 404, 409, 413, 422])(
    'it keeps an entry refused with %d and sends the rest',
    async (status) => {
      const bad = await queueAdd(db, tasting(NEAP, { liking: 11 }));
      const good = await queueAdd(db, tasting(NEAP));
      server.refuses = (entry) => (entry.id === bad.id ? status : null);
      expect(await replay.run()).toMatchObject({ done: 1, next_try_at_ms: null });

      const kept = await entryOf(bad.id);
      expect(kept.state).toBe('refused');
      expect(kept.body.liking).toBe(11);
      expect(kept.problem).toMatchObject({ status, fields: [{ field: 'liking', allowed: '0 to 10' }] });
      expect((await entryOf(good.id)).state).toBe('done');
      now_ms += 365 * 86_400_000;
      await replay.run();
      expect((await entryOf(bad.id)).state).toBe('refused');
      expect(server.requests.filter((id) => id === bad.id)).toHaveLength(1);
    },
  );

  test('it mends a refused entry under a new id and then lets the old one go', async () => {
    const bad = await queueAdd(db, tasting(NEAP, { liking: 11 }));
    server.refuses = (entry) => (entry.body.liking === 11 ? 422 : null);
    await replay.run();
    const mended = await queueMend(db, bad.id, tasting(NEAP, { liking: 9 }));

    expect(mended?.id).not.toBe(bad.id);
    expect((await entryOf(bad.id)).mended_by).toBe(mended?.id);
    expect(await queueMend(db, bad.id, tasting())).toBeNull();
    await replay.run();
    expect(await db.get('outbox', bad.id)).toBeUndefined();
    expect([...server.rows.keys()]).toEqual([mended?.id]);
  });

  test('what named a refused entry follows it under its new id', async () => {
    const bad = await queueAdd(db, tasting(NEAP, { liking: 11 }));
    const correction = await queueAdd(db, tasting(NEAP, { liking: 8, replaces: bad.id }));
    const later = await queueAdd(db, tasting(EBB, { note: `see ${bad.id}` }, { hold_ms: 60_000 }));
    server.refuses = (entry) =>
      entry.body.liking === 11 || (entry.body.replaces && !server.rows.has(String(entry.body.replaces)))
        ? 422
        : null;
    await replay.run();
    expect((await entryOf(correction.id)).state).toBe('refused');

    const mended = await queueMend(db, bad.id, tasting(NEAP, { liking: 9 }));
    now_ms += 60_000;
    expect(await replay.run()).toMatchObject({ done: 3 });
    const bodies = [...server.rows.values()].map((text) => JSON.parse(text) as Record<string, unknown>);
    expect(bodies.map((body) => body.liking)).toEqual([9, 8, 7.5]);
    expect(bodies[1]?.replaces).toBe(mended?.id);
    expect(bodies[2]?.note).toBe(`see ${mended?.id}`);
    expect((await queueAll(db)).map((entry) => entry.id)).toContain(later.id);
    expect(await states()).toEqual(['done', 'done', 'done']);
  });

  test('it sends a refused entry again as it is when its author asks', async () => {
    const entry = await queueAdd(db, tasting());
    server.refuses = () => 403;
    await replay.run();
    server.refuses = () => null;
    await queueTryAgain(db, entry.id, now_ms);
    expect(await replay.run()).toMatchObject({ done: 1 });
    expect([...server.rows.keys()]).toEqual([entry.id]);
  });
});

describe('who is signed in', () => {
  test('it pauses everything on 401 and goes on after the sign-in', async () => {
    await queueAdd(db, tasting(NEAP));
    await queueAdd(db, tasting(EBB));
    server.fates = [{ kind: 'status', status: 401 }];
    expect(await replay.run()).toMatchObject({ is_paused: true, done: 0, next_try_at_ms: null });
    expect(server.requests).toHaveLength(1);
    expect((await queueAll(db))[0]).toMatchObject({ state: 'queued', trouble: 'signed_out' });
    expect(await replay.run()).toMatchObject({ done: 2 });
  });

  test('it sends nothing under another account', async () => {
    await queueAdd(db, tasting());
    isSignedIn = false;
    expect(await replay.run()).toMatchObject({ is_paused: true, done: 0 });
    expect(server.requests).toEqual([]);
    isSignedIn = true;
    expect(await replay.run()).toMatchObject({ done: 1 });
  });

  test('it stops between two entries when another account signs in meanwhile', async () => {
    await queueAdd(db, tasting(NEAP));
    await queueAdd(db, tasting(EBB));
    const run = createReplay({
      db,
      mayGo: () => isSignedIn,
      deliver: (entry) => {
        isSignedIn = false;
        return server.deliver(entry);
      },
      now: () => now_ms,
    }).run();
    expect(await run).toMatchObject({ done: 1, is_paused: true });
    expect(server.requests).toHaveLength(1);
  });

  test('it does not blame the entry for a token that stays stale', async () => {
    await queueAdd(db, tasting());
    server.fates = [{ kind: 'status', status: 403, body: { code: 'csrf_failed', detail: 'Stale.' } }];
    await replay.run();
    expect(await states()).toEqual(['queued']);
  });
});

describe('edits against a version', () => {
  const changes = { name: 'Slack Water' };
  const edit = (): Omit<OutboxEntry, 'order'> =>
    makeEdit({
      club: CLUB,
      author: MEMBER,
      collection: 'barrels',
      target: NEAP,
      base_version: 3,
      body: changes,
      now_ms: NOON_MS,
    });
  const changed = {
    kind: 'status',
    status: 409,
    body: { code: 'version_changed', detail: 'Changed.' },
  } as const;

  async function runWith(theirs: Record<string, unknown> | null): Promise<OutboxEntry> {
    const entry = await queueAdd(db, edit());
    server.fates = [changed];
    await createReplay({
      db,
      mayGo: () => true,
      deliver: server.deliver,
      lookUp: async () => theirs,
      now: () => now_ms,
    }).run();
    return entryOf(entry.id);
  }

  test('it shows both when somebody else changed the row', async () => {
    const entry = await runWith({ id: NEAP, name: 'Fetch', version: 4 });
    expect(entry).toMatchObject({ state: 'conflicted', theirs: { name: 'Fetch', version: 4 } });
  });

  test('it knows its own change again after a dropped answer', async () => {
    const entry = await runWith({ id: NEAP, name: 'Slack Water', version: 4 });
    expect(entry.state).toBe('done');
  });

  test('it waits when the row cannot be looked at', async () => {
    expect(await runWith(null)).toMatchObject({ state: 'queued', trouble: 'no_signal' });
  });
});
