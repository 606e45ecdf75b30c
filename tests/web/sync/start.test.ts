/** The whole data layer against a stubbed network: from sign-in to sign-out. */

import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { session, signIn } from '~/api/session.ts';
import { barrelBy, barrelOfTag } from '~/outbox/overlay.ts';
import { queueAll } from '~/outbox/queue.ts';
import { record, settled } from '~/outbox/record.ts';
import { database, databaseName } from '~/store/db.ts';
import { signOut, startSync, syncNow } from '~/sync/start.ts';
import { syncStatus } from '~/sync/status.ts';
import { actAnswer, barrel, CLUB, FILL, NEAP, SESSION, USER } from '../cast.ts';

const OTHER_USER = '99999999-9999-4999-8999-999999999999';
const body = { barrel: NEAP, fill: FILL, tasted_on: '2026-03-01', liking: 7.5, sample_ml: 5 };

/** A server with one barrel: it knows who is signed in and which tastings it holds. */
class Network {
  user: string | null = USER;
  isDown = false;
  rows = new Map<string, string>();
  log: string[] = [];
  sentAt: (string | null)[] = [];

  fetch = async (request: Request): Promise<Response> => {
    const { pathname } = new URL(request.url);
    this.log.push(`${request.method} ${pathname}`);
    if (this.isDown) throw new TypeError('Failed to fetch');
    if (pathname.endsWith('/auth/login')) {
      const { email } = (await request.json()) as { email: string };
      this.user = email.startsWith('other') ? OTHER_USER : USER;
      return Response.json({ status: 200 });
    }
    if (pathname.endsWith('/auth/session')) {
      this.user = null;
      return Response.json({}, { status: 401 });
    }
    if (!this.user) return Response.json({ code: 'signed_out', detail: 'Sign in first.' }, { status: 401 });
    if (pathname === '/api/v1/me') {
      return Response.json({ ...SESSION, user: { ...SESSION.user, id: this.user } });
    }
    if (pathname.endsWith('/changes')) {
      const rows = [{ collection: 'barrels', id: NEAP, row: barrel() }];
      return Response.json({ cursor: '1', more: false, server_time: '2026-03-01T12:00:00Z', rows });
    }
    const id = pathname.split('/').at(-1) ?? '';
    const text = await request.text();
    this.sentAt.push(request.headers.get('Sent-At'));
    this.rows.set(id, text);
    const act = { id, collection: 'tastings', body: JSON.parse(text) as Record<string, unknown> };
    return Response.json(actAnswer(act), { status: 201 });
  };
}

let network: Network;

beforeEach(async () => {
  network = new Network();
  vi.stubGlobal('fetch', network.fetch);
  startSync();
  await signIn('member@club.example', 'secret');
  await vi.waitFor(() => expect(barrelBy(NEAP)?.name).toBe('Neap'));
  // Its rows are there a moment before the reading as a whole has ended.
  await vi.waitFor(() => expect(syncStatus.value.first_load).toBe(false));
});

afterEach(async () => {
  network.isDown = false;
  network.user = USER;
  await signIn('member@club.example', 'secret');
  await vi.waitFor(() => expect(database.value?.name).toBe(databaseName(USER, CLUB)));
  const db = database.value;
  for (const { id } of db ? await queueAll(db) : []) await db?.delete('outbox', id);
  await signOut({ keepUnsent: true });
  vi.unstubAllGlobals();
});

async function gone(): Promise<void> {
  network.isDown = true;
  await syncNow();
}

describe('a club at hand', () => {
  test('it reads the club, and knows a barrel by its tag', () => {
    expect(barrelOfTag('NEAPSX')?.id).toBe(NEAP);
    expect(syncStatus.value).toMatchObject({ first_load: false, has_signal: true, paused: null });
    expect(database.value?.name).toBe(databaseName(USER, CLUB));
  });

  test('it sends what is recorded, with the clock of this phone beside it', async () => {
    const { id } = await record('tastings', body);
    expect(await settled(id)).toMatchObject({ state: 'done' });
    expect([...network.rows.keys()]).toEqual([id]);
    expect(Math.abs(Date.parse(network.sentAt[0] ?? '') - Date.now())).toBeLessThan(5_000);
    expect(JSON.parse(network.rows.get(id) ?? '')).not.toHaveProperty('sent_at');
  });

  test('it goes on without signal, and sends when somebody says "Try now"', async () => {
    await gone();
    expect(syncStatus.value.has_signal).toBe(false);
    const { id } = await record('tastings', body);
    await vi.waitFor(() => expect(barrelBy(NEAP)?.contents?.sample_used_ml).toBe(45));
    network.isDown = false;
    await syncNow();
    expect(await settled(id)).toMatchObject({ state: 'done' });
    expect(syncStatus.value.has_signal).toBe(true);
  });
});

describe('when the server wants a new sign-in', () => {
  test('it pauses, keeps the club readable, and goes on for the same account', async () => {
    network.user = null;
    const { id } = await record('tastings', body);
    await vi.waitFor(() => expect(syncStatus.value.paused).toBe('signed_out'));
    expect(session.value.state).toBe('expired');
    expect(barrelBy(NEAP)?.name).toBe('Neap');
    expect(network.rows.size).toBe(0);

    await signIn('member@club.example', 'secret');
    expect(await settled(id)).toMatchObject({ state: 'done' });
  });

  test('another account gets a database of its own and never sends these entries', async () => {
    network.user = null;
    const { id } = await record('tastings', body);
    await vi.waitFor(() => expect(syncStatus.value.paused).toBe('signed_out'));
    await signIn('other@club.example', 'secret');
    await vi.waitFor(() => expect(database.value?.name).toBe(databaseName(OTHER_USER, CLUB)));
    await syncNow();
    expect(network.rows.size).toBe(0);

    await signIn('member@club.example', 'secret');
    await vi.waitFor(() => expect(database.value?.name).toBe(databaseName(USER, CLUB)));
    await vi.waitFor(() => expect([...network.rows.keys()]).toEqual([id]));
  });
});

describe('signing out', () => {
  test('it warns of what is unsent and does nothing yet', async () => {
    await gone();
    await record('tastings', body);
    expect(await signOut()).toEqual({ unsent: 1 });
    expect(session.value.state).not.toBe('signed_out');
  });

  test('it forgets the club and keeps the unsent entry for the same account', async () => {
    await gone();
    const { id } = await record('tastings', body);
    expect(await signOut({ keepUnsent: true })).toBe('done');
    expect(session.value.state).toBe('signed_out');
    expect(database.value).toBeNull();
    expect(barrelBy(NEAP)).toBeUndefined();

    network.isDown = false;
    await signIn('member@club.example', 'secret');
    await vi.waitFor(() => expect([...network.rows.keys()]).toEqual([id]));
  });

  test('it leaves no database behind when all was sent', async () => {
    expect(await signOut()).toBe('done');
    await vi.waitFor(async () => {
      const names = (await indexedDB.databases()).map((one) => one.name);
      expect(names).not.toContain(databaseName(USER, CLUB));
    });
    expect(network.user).toBeNull();
  });
});
