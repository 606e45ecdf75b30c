import { afterEach, expect, test, vi } from 'vitest';
import { askLink, setPassword } from '~/api/password.ts';
import { keyIn } from '~/pages/sign-in/password.tsx';

let sent: { path: string; body: unknown }[] = [];

function serve(status: number, body: unknown = {}): void {
  sent = [];
  vi.stubGlobal('fetch', async (request: Request) => {
    sent.push({ path: new URL(request.url).pathname, body: await request.json() });
    return Response.json(body, { status });
  });
}

afterEach(() => vi.unstubAllGlobals());

test('the key of a mail’s link is what stands behind the address', () => {
  expect(keyIn('/account/password/reset/3-abc-1')).toBe('3-abc-1');
  expect(keyIn('/account/password/reset')).toBeNull();
  expect(keyIn('/')).toBeNull();
});

test('a password that was set answers that nobody is signed in yet', async () => {
  serve(401, { meta: { is_authenticated: false } });
  expect(await setPassword('3-abc', 'oak and rye')).toEqual({ ok: true });
  expect(sent).toEqual([
    { path: '/_allauth/browser/v1/auth/password/reset', body: { key: '3-abc', password: 'oak and rye' } },
  ]);
});

test('a link that was used already says so, and a weak password says why', async () => {
  serve(400, {
    errors: [{ param: 'key', code: 'invalid_password_reset', message: 'The token was invalid.' }],
  });
  expect(await setPassword('3-abc', 'oak and rye')).toEqual({
    ok: false,
    words: 'This link was used already or is too old. Ask for a new one.',
  });
  serve(400, { errors: [{ param: 'password', code: 'x', message: 'This password is too common.' }] });
  expect(await setPassword('3-abc', 'password1')).toEqual({
    ok: false,
    words: 'This password is too common.',
  });
});

test('without an answer it says so', async () => {
  vi.stubGlobal('fetch', async () => {
    throw new TypeError('offline');
  });
  expect(await askLink('a@club.example')).toEqual({
    ok: false,
    words: 'The server did not answer. This needs signal.',
  });
});
