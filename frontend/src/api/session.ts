/**
 * Who is here, on this device. What the server last said is remembered in localStorage, so that the app starts
 * in a cellar with no signal; it is names and ids only, never a secret (the session itself is a cookie that no
 * script can read).
 */

import { computed, type ReadonlySignal, signal } from '@preact/signals';
import { askMe, askSignIn, askSignOut } from './auth.ts';
import { onUnauthorised } from './client.ts';
import type { Problem } from './errors.ts';
import type { Me, Member } from './types.ts';

export type SessionState = 'starting' | 'signed_out' | 'signed_in' | 'remembered' | 'expired';

export interface Session {
  state: SessionState;
  user: Me['user'] | null;
  persons: Member[];
  /** The person of the chosen club. */
  person: Member | null;
  club: Member['club'] | null;
}

interface Remembered {
  user: Me['user'];
  persons: Member[];
  club: string | null;
}

const KEY = 'staveward.account';
const OWED = 'staveward.sign-out-owed';

const NOBODY: Session = { state: 'signed_out', user: null, persons: [], person: null, club: null };

function remembered(): Remembered | null {
  try {
    const found = localStorage.getItem(KEY);
    return found ? (JSON.parse(found) as Remembered) : null;
  } catch {
    return null;
  }
}

function write(key: string, value: string | null): void {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // A browser that keeps nothing still works while it is open.
  }
}

function sessionOf(state: SessionState, account: Remembered): Session {
  const only = account.persons.length === 1 ? account.persons[0] : undefined;
  const person = account.persons.find((one) => one.club.id === account.club) ?? only ?? null;
  return { state, user: account.user, persons: account.persons, person, club: person?.club ?? null };
}

function atStart(): Session {
  const account = remembered();
  return account ? sessionOf('remembered', account) : { ...NOBODY, state: 'starting' };
}

const current = signal<Session>(atStart());
export const session: ReadonlySignal<Session> = current;

/** Whether the screens of a club may be shown. */
export const isHere: ReadonlySignal<boolean> = computed(() => {
  const { state, person } = current.value;
  return person !== null && (state === 'signed_in' || state === 'remembered' || state === 'expired');
});

/** The account that this device remembers now, read afresh: another tab may have changed it. */
export function accountOnDevice(): string | null {
  return remembered()?.user.id ?? null;
}

function settle(me: Me | null): void {
  if (me) {
    const before = remembered();
    const club = before?.user.id === me.user.id ? before.club : null;
    const account: Remembered = { user: me.user, persons: me.persons, club };
    write(KEY, JSON.stringify(account));
    current.value = sessionOf('signed_in', account);
    return;
  }
  const known = current.value;
  // What was read stays readable; only sending waits for a new sign-in.
  current.value = known.user ? { ...known, state: 'expired' } : NOBODY;
}

/** Asks the server who is signed in; without an answer the memory holds. */
export async function refreshSession(): Promise<Problem | null> {
  if (isSignOutOwed() && !(await paySignOut())) return null;
  const asked = await askMe();
  if (asked.ok) settle(asked.data);
  else if (current.value.state === 'starting') current.value = NOBODY;
  return asked.ok ? null : asked.problem;
}

export async function signIn(
  email: string,
  password: string,
): Promise<{ ok: true } | { ok: false; problem: Problem }> {
  if (isSignOutOwed()) await paySignOut();
  // Another tab must not send the last account's entries under the cookie that comes now.
  const before = remembered();
  write(KEY, null);
  let asked = await askSignIn(email, password);
  if (!asked.ok && asked.problem.status === 409) {
    await askSignOut();
    asked = await askSignIn(email, password);
  }
  const me = asked.ok ? await askMe() : null;
  if (me?.ok && me.data) {
    if (before && before.user.id === me.data.user.id) write(KEY, JSON.stringify(before));
    settle(me.data);
    return { ok: true };
  }
  if (before) write(KEY, JSON.stringify(before));
  const problem = !asked.ok ? asked.problem : me && !me.ok ? me.problem : null;
  return {
    ok: false,
    problem: problem ?? {
      status: 401,
      code: 'sign_in_failed',
      title: 'Not signed in',
      detail: 'The sign-in did not hold. Allow cookies for this site, then try again.',
      fields: [],
    },
  };
}

export function chooseClub(club: string): void {
  const account = remembered() ?? null;
  const { user, persons, state } = current.value;
  if (!user) return;
  const next: Remembered = { user: account?.user ?? user, persons: account?.persons ?? persons, club };
  write(KEY, JSON.stringify(next));
  current.value = sessionOf(state, next);
}

function isSignOutOwed(): boolean {
  try {
    return localStorage.getItem(OWED) !== null;
  } catch {
    return false;
  }
}

async function paySignOut(): Promise<boolean> {
  const paid = await askSignOut();
  if (paid) write(OWED, null);
  return paid;
}

/** Forgets the account here at once; the server's session ends now, or as soon as there is signal. */
export async function endSession(): Promise<void> {
  write(KEY, null);
  write(OWED, 'yes');
  current.value = NOBODY;
  await paySignOut();
}

/** Keeps this tab in step with the others and with what the server says of the session. */
export function watchSession(): () => void {
  const stop = onUnauthorised(() => {
    const known = current.value;
    if (known.user && known.state !== 'expired') current.value = { ...known, state: 'expired' };
  });
  const onStorage = (event: StorageEvent): void => {
    if (event.key !== KEY) return;
    const account = remembered();
    current.value = account ? sessionOf('remembered', account) : NOBODY;
  };
  addEventListener('storage', onStorage);
  return () => {
    stop();
    removeEventListener('storage', onStorage);
  };
}
