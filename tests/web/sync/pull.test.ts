import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { NO_SIGNAL, problemFrom } from '~/api/errors.ts';
import type { ChangesPage } from '~/api/types.ts';
import { queueAdd, queueAll, queueDone, queueSending } from '~/outbox/queue.ts';
import type { ClubDatabase } from '~/store/db.ts';
import { type AskPage, askPageOf, type PageAnswer, pullAll } from '~/sync/pull.ts';
import {
  actAnswer,
  barrel,
  CLUB,
  EBB,
  FILL,
  freshDatabase,
  logEntry,
  NEAP,
  NOON_MS,
  reservation,
  tasting,
} from '../cast.ts';

let db: ClubDatabase;
let now_ms: number;

beforeEach(async () => {
  db = await freshDatabase();
  now_ms = NOON_MS;
});

function page(cursor: string, rows: ChangesPage['rows'], more = false): PageAnswer {
  return { ok: true, page: { cursor, more, server_time: '2026-03-01T12:00:00Z', rows } };
}

/** Answers by cursor; what was asked is noted. */
function feed(answers: Record<string, PageAnswer>): { ask: AskPage; asked: string[] } {
  const asked: string[] = [];
  const ask: AskPage = async (cursor) => {
    asked.push(cursor);
    return answers[cursor] ?? expect.unreachable(`no page after "${cursor}"`);
  };
  return { ask, asked };
}

const neap = { collection: 'barrels' as const, id: NEAP, row: barrel() };
const ebb = { collection: 'barrels' as const, id: EBB, row: barrel({ id: EBB, name: 'Ebb' }) };
const fill = { collection: 'log' as const, id: FILL, row: logEntry() };
const RESYNC: PageAnswer = {
  ok: false,
  problem: problemFrom(410, { code: 'resync', detail: 'Start over.' }),
};

const pull = (ask: AskPage) => pullAll(db, ask, { now: () => now_ms });

describe('reading what changed', () => {
  test('it reads page after page and remembers where it was', async () => {
    const { ask, asked } = feed({ '': page('1', [neap], true), '1': page('2', [ebb, fill]) });
    expect(await pull(ask)).toEqual({ ok: true, pages: 2 });
    expect(asked).toEqual(['', '1']);
    expect((await db.getAllKeys('barrels')).sort()).toEqual([NEAP, EBB].sort());
    expect((await db.get('log', FILL))?.barrel).toBe(NEAP);
    expect(await db.get('meta', 'cursor')).toBe('2');
    expect(await db.get('meta', 'as_of_ms')).toBe(NOON_MS);
  });

  test('it goes on after the last page that was stored', async () => {
    const first = feed({ '': page('1', [neap], true), '1': { ok: false, problem: NO_SIGNAL } });
    expect(await pull(first.ask)).toEqual({ ok: false, problem: NO_SIGNAL });
    expect(await db.get('meta', 'as_of_ms')).toBeUndefined();
    const second = feed({ '1': page('2', [ebb]) });
    await pull(second.ask);
    expect(second.asked).toEqual(['1']);
    expect(await db.count('barrels')).toBe(2);
  });

  test('it removes what vanished and replaces what changed', async () => {
    await pull(feed({ '': page('1', [neap, ebb]) }).ask);
    const renamed = { ...neap, row: barrel({ name: 'Slack Water', version: 2 }) };
    await pull(feed({ '1': page('2', [renamed, { ...ebb, row: null }]) }).ask);
    expect((await db.getAll('barrels')).map((kept) => kept.row.name)).toEqual(['Slack Water']);
  });

  test('it passes over what a newer server tells of', async () => {
    const odd = {
      collection: 'bottles',
      id: EBB,
      row: { id: EBB },
    } as unknown as ChangesPage['rows'][number];
    expect(await pull(feed({ '': page('1', [odd, neap]) }).ask)).toMatchObject({ ok: true });
    expect(await db.count('barrels')).toBe(1);
  });

  test('it ends even when a feed promises more without end', async () => {
    await pull(feed({ '': page('1', [neap]) }).ask);
    expect(await pull(feed({ '1': page('1', [], true) }).ask)).toEqual({ ok: true, pages: 1 });
  });

  test('it keeps a reservation of the feed over an older answer', async () => {
    const row = reservation({ version: 3, state: 'confirmed' });
    await pull(feed({ '': page('1', [{ collection: 'reservations', id: row.id, row }]) }).ask);
    const entry = await queueAdd(db, tasting());
    await queueDone(db, entry.id, { id: entry.id, reservation: reservation({ version: 1 }) }, now_ms);
    expect((await db.get('reservations', row.id))?.row.state).toBe('confirmed');
  });
});

describe('starting over', () => {
  test('it rebuilds the read store and leaves the outbox alone', async () => {
    await pull(feed({ '': page('1', [neap, ebb, fill]) }).ask);
    const entry = await queueAdd(db, tasting());
    const { ask, asked } = feed({ '1': RESYNC, '': page('new-1', [neap], true), 'new-1': page('new-2', []) });
    expect(await pull(ask)).toMatchObject({ ok: true });

    expect(asked).toEqual(['1', '', 'new-1']);
    expect(await db.getAllKeys('barrels')).toEqual([NEAP]);
    expect(await db.count('log')).toBe(0);
    expect((await queueAll(db)).map((one) => one.id)).toEqual([entry.id]);
  });

  test('the old rows stand until the new reading is whole', async () => {
    await pull(feed({ '': page('1', [neap, ebb]) }).ask);
    const cut = feed({
      '1': RESYNC,
      '': page('new-1', [neap], true),
      'new-1': { ok: false, problem: NO_SIGNAL },
    });
    await pull(cut.ask);
    expect(await db.count('barrels')).toBe(2);
    await pull(feed({ 'new-1': page('new-2', []) }).ask);
    expect(await db.getAllKeys('barrels')).toEqual([NEAP]);
  });

  test('a line that was sent during the rebuild survives it', async () => {
    await pull(feed({ '': page('1', [neap]) }).ask);
    const entry = await queueAdd(db, tasting());
    let turn = 0;
    const ask: AskPage = async () => {
      turn += 1;
      if (turn === 1) return RESYNC;
      await queueSending(db, entry.id);
      await queueDone(db, entry.id, actAnswer(entry), now_ms);
      return page('new-1', [neap]);
    };
    await pull(ask);
    expect((await db.get('log', entry.id))?.id).toBe(entry.id);
  });

  test('it does not start over for ever', async () => {
    expect(await pull(async () => RESYNC)).toMatchObject({ ok: false, problem: { status: 410 } });
  });
});

describe('reading back what was sent', () => {
  async function sent(): Promise<string> {
    const entry = await queueAdd(db, tasting());
    await queueSending(db, entry.id);
    await queueDone(db, entry.id, actAnswer(entry), now_ms);
    return entry.id;
  }
  const isReadBack = async (id: string): Promise<boolean | undefined> =>
    (await db.get('outbox', id))?.is_read_back;

  test('the page that holds its line lets the overlay go', async () => {
    const id = await sent();
    expect(await isReadBack(id)).toBe(false);
    await pull(feed({ '': page('1', [{ ...fill, id, row: logEntry({ id }) }]) }).ask);
    expect(await isReadBack(id)).toBe(true);
  });

  test('the overlay holds on until the last page: its barrel may be on another than its line', async () => {
    const id = await sent();
    const line = { collection: 'log' as const, id, row: logEntry({ id }) };
    const { ask } = feed({ '': page('1', [line], true), '1': page('2', [neap]) });
    const before: unknown[] = [];
    await pull(async (cursor) => {
      before.push(await isReadBack(id));
      return ask(cursor);
    });
    expect(before).toEqual([false, false]);
    expect(await isReadBack(id)).toBe(true);
  });

  test('a whole reading that began after it was sent lets it go too', async () => {
    const id = await sent();
    await pull(feed({ '': page('1', []) }).ask);
    expect(await isReadBack(id)).toBe(false);
    now_ms += 1_000;
    await pull(feed({ '1': page('2', []) }).ask);
    expect(await isReadBack(id)).toBe(true);
  });

  test('an unsent entry is never taken for read back', async () => {
    const entry = await queueAdd(db, tasting());
    now_ms += 1_000;
    await pull(feed({ '': page('1', [{ ...fill, id: entry.id, row: logEntry({ id: entry.id }) }]) }).ask);
    expect(await isReadBack(entry.id)).toBe(false);
  });
});

describe('asking for a page', () => {
  afterEach(() => vi.unstubAllGlobals());
  let asked = '';
  const askWith = (answer: () => Response | Promise<Response>): Promise<PageAnswer> => {
    vi.stubGlobal('fetch', async (request: Request) => {
      asked = new URL(request.url).pathname + new URL(request.url).search;
      return answer();
    });
    return askPageOf(CLUB)('7.1');
  };

  test('it says where it was, and how much it can take', async () => {
    const { page: sent } = page('8', []) as { page: ChangesPage };
    expect(await askWith(() => Response.json(sent))).toEqual({ ok: true, page: sent });
    expect(asked).toBe(`/api/v1/clubs/${CLUB}/changes?limit=500&after=7.1`);
  });

  test('it passes on why the server would not', async () => {
    const gone = await askWith(() =>
      Response.json({ code: 'resync', detail: 'Start over.' }, { status: 410 }),
    );
    expect(gone).toMatchObject({ ok: false, problem: { status: 410, code: 'resync' } });
  });

  test.each([
    ['a page of another network', () => new Response('<h1>Our wifi</h1>')],
    ['something else in JSON', () => Response.json({ hello: 1 })],
    ['silence', () => Promise.reject(new TypeError('Failed to fetch'))],
  ])('it takes %s for no signal', async (_what, answer) => {
    expect(await askWith(answer)).toEqual({ ok: false, problem: NO_SIGNAL });
  });
});
