/** Setting a password by a link from a mail: for whoever was added to a club, and for whoever forgot theirs. */

import { requestTo, send } from './client.ts';

const ASK = '/_allauth/browser/v1/auth/password/request';
const SET = '/_allauth/browser/v1/auth/password/reset';

export type PasswordAnswer = { ok: true } | { ok: false; words: string };

const NO_ANSWER = 'The server did not answer. This needs signal.';
const TOO_MANY = 'Too many tries. Wait a few minutes, then try again.';

interface HeadlessErrors {
  errors?: { code?: string; message?: string; param?: string }[];
}

async function post(path: string, body: object): Promise<Response | null> {
  try {
    return await send(
      requestTo(path, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify(body),
      }),
    );
  } catch {
    return null;
  }
}

async function errorsOf(response: Response): Promise<NonNullable<HeadlessErrors['errors']>> {
  const body = (await response.json().catch(() => null)) as HeadlessErrors | null;
  return body?.errors ?? [];
}

/** Asks for a mail with a link. The answer is the same whether the address is known or not. */
export async function askLink(email: string): Promise<PasswordAnswer> {
  const response = await post(ASK, { email });
  if (!response) return { ok: false, words: NO_ANSWER };
  // 401: nobody is signed in, as before; the mail is on its way all the same.
  if (response.ok || response.status === 401) return { ok: true };
  if (response.status === 429) return { ok: false, words: TOO_MANY };
  const [first] = await errorsOf(response);
  return { ok: false, words: first?.message ?? 'That did not work. Try again later.' };
}

/** Sets the password that a link allows; whoever set it then signs in with it. */
export async function setPassword(key: string, password: string): Promise<PasswordAnswer> {
  const response = await post(SET, { key, password });
  if (!response) return { ok: false, words: NO_ANSWER };
  // 401 says that it is set and that nobody is signed in yet.
  if (response.ok || response.status === 401) return { ok: true };
  if (response.status === 429) return { ok: false, words: TOO_MANY };
  const errors = await errorsOf(response);
  if (errors.some((one) => one.param === 'key'))
    return { ok: false, words: 'This link was used already or is too old. Ask for a new one.' };
  const said = errors.map((one) => one.message).filter(Boolean);
  return { ok: false, words: said.join(' ') || 'That did not work. Ask for a new link.' };
}
