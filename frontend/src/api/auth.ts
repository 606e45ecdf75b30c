/** Sign-in, sign-out and "who am I": the headless sign-in of the server, and `me`. */

import { requestTo, send } from './client.ts';
import { NO_SIGNAL, type Problem, problemFrom } from './errors.ts';
import type { Me } from './types.ts';

const LOGIN = '/_allauth/browser/v1/auth/login';
const SESSION = '/_allauth/browser/v1/auth/session';
const ME = '/api/v1/me';

export type Asked<T> = { ok: true; data: T } | { ok: false; problem: Problem };

interface HeadlessErrors {
  errors?: { code?: string; message?: string; param?: string }[];
}

async function bodyOf(response: Response): Promise<unknown> {
  try {
    return JSON.parse(await response.text());
  } catch {
    return null;
  }
}

/** The sign-in library answers in its own shape; the app knows only problems. */
function signInProblem(status: number, body: unknown): Problem {
  const errors = (body as HeadlessErrors | null)?.errors ?? [];
  const first = errors[0];
  if (!first && body && typeof body === 'object' && 'code' in body) return problemFrom(status, body);
  if (status === 429) {
    return problemFrom(status, {
      code: 'too_many_attempts',
      detail: 'Too many attempts. Wait a few minutes, then try again.',
    });
  }
  return problemFrom(status, {
    code: first?.code ?? 'sign_in_failed',
    detail: first?.message ?? 'That e-mail address and password do not fit together.',
    fields: errors
      .filter((line) => line.param)
      .map((line) => ({ field: line.param, value: null, allowed: '', detail: line.message })),
  });
}

/** Asks who is signed in. 401 is an answer here ("nobody"), not a failure. */
export async function askMe(): Promise<Asked<Me | null>> {
  try {
    const response = await send(requestTo(ME));
    if (response.status === 401) return { ok: true, data: null };
    const body = await bodyOf(response);
    if (response.ok && body && typeof body === 'object' && 'user' in body)
      return { ok: true, data: body as Me };
    // A captive portal answers 200 with a page of its own: that is no answer.
    return { ok: false, problem: response.ok ? NO_SIGNAL : problemFrom(response.status, body) };
  } catch {
    return { ok: false, problem: NO_SIGNAL };
  }
}

export async function askSignIn(email: string, password: string): Promise<Asked<null>> {
  try {
    const response = await send(
      requestTo(LOGIN, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ email, password }),
      }),
    );
    // 409: somebody is signed in already; the caller ends that session first.
    if (response.ok) return { ok: true, data: null };
    return { ok: false, problem: signInProblem(response.status, await bodyOf(response)) };
  } catch {
    return { ok: false, problem: NO_SIGNAL };
  }
}

/** Ends the session on the server. It answers 401 when it has worked. */
export async function askSignOut(): Promise<boolean> {
  try {
    const response = await send(requestTo(SESSION, { method: 'DELETE' }));
    return response.ok || response.status === 401;
  } catch {
    return false;
  }
}
