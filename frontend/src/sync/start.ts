/** The life of the app around its club: open its database, send and pull, and let go on sign-out. */

import { effect } from '@preact/signals';
import { endSession, refreshSession, session, watchSession } from '../api/session.ts';
import type { Uuid } from '../api/types.ts';
import { barrels, club, people, places, reservations } from '../outbox/overlay.ts';
import { queueKeepOnlyUnsent, queueUnsentCount } from '../outbox/queue.ts';
import {
  type ClubDatabase,
  database,
  databaseName,
  forgetRead,
  openDatabase,
  removeDatabase,
} from '../store/db.ts';
import { askToKeep } from '../store/storage.ts';
import { startClubWork } from './club-work.ts';
import { asOf, reportSignal, resetStatus } from './status.ts';
import type { Turns } from './turns.ts';

const TRY_NOW_MS = 15_000;

let wanted: string | null = null;
let turns: Turns | null = null;
let isStarted = false;

async function open(user: Uuid, clubId: Uuid): Promise<void> {
  const name = databaseName(user, clubId);
  if (wanted === name) return;
  close();
  wanted = name;
  const db = await openDatabase(name).catch(() => null);
  if (wanted !== name) {
    db?.close();
    return;
  }
  if (!db) {
    // Told by storageTrouble; the next change of the session tries again.
    wanted = null;
    return;
  }
  database.value = db;
  turns = startClubWork(db, user, clubId);
  void askToKeep();
}

function close(): void {
  wanted = null;
  turns?.stop();
  turns = null;
  const db = database.peek();
  database.value = null;
  db?.close();
  resetStatus();
}

async function regain(): Promise<void> {
  if (!navigator.onLine) return;
  await refreshSession();
  turns?.wake('signal');
}

/** Called once by the app; everything else follows from the session. */
export function startSync(): void {
  if (isStarted) return;
  isStarted = true;
  watchSession();
  // The club's small tables are always at hand, also for what runs outside a screen (a scan, a link).
  for (const table of [club, places, people, barrels, reservations, asOf]) table.subscribe(() => {});
  effect(() => {
    const { user, club: chosen, state } = session.value;
    if (!user || !chosen) close();
    else void open(user.id, chosen.id);
    // Signed in again: what was paused goes on.
    if (state === 'signed_in') turns?.wake('signal');
  });
  effect(() => {
    // A newer app took the database over: this one stops working on it.
    if (database.value === null && turns) {
      turns.stop();
      turns = null;
      wanted = null;
    }
  });
  addEventListener('online', () => void regain());
  addEventListener('offline', () => reportSignal(false, Date.now()));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void regain();
  });
  void refreshSession();
}

/** "Try now": sends and reads past any waiting; resolves when that is done, or has plainly not been. */
export async function syncNow(): Promise<void> {
  await refreshSession();
  if (!turns) return;
  const turn = turns.turn();
  turns.wake('person');
  // Another tab may lead; it was told, and this one need not wait for it for ever.
  await Promise.race([turn, new Promise((resolve) => setTimeout(resolve, TRY_NOW_MS))]);
}

async function inEachClub<T>(task: (db: ClubDatabase) => Promise<T>): Promise<T[]> {
  const { user, persons } = session.peek();
  const found: T[] = [];
  for (const person of user ? persons : []) {
    const name = databaseName(user?.id ?? '', person.club.id);
    const current = database.peek();
    const db = current?.name === name ? current : await openDatabase(name);
    found.push(await task(db));
    if (db !== current) db.close();
  }
  return found;
}

/**
 * Signs out and forgets what was read. Unsent entries stop it until the person has said that they may stay on this
 * phone: they then wait for the same account.
 */
export async function signOut(options: { keepUnsent?: boolean } = {}): Promise<'done' | { unsent: number }> {
  const counts = await inEachClub(queueUnsentCount);
  const unsent = counts.reduce((sum, count) => sum + count, 0);
  if (unsent > 0 && !options.keepUnsent) return { unsent };
  turns?.stop();
  turns = null;
  const emptied = await inEachClub(async (db) => {
    await forgetRead(db);
    return { name: db.name, kept: await queueKeepOnlyUnsent(db) };
  });
  close();
  await endSession();
  // They are empty already; a frozen tab that still holds one open must not hold up the sign-out.
  for (const { name, kept } of emptied) if (kept === 0) void removeDatabase(name).catch(() => undefined);
  return 'done';
}
