import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { onUnauthorised, requestTo, send } from '~/api/client.ts';
import { fieldProblem, problemFrom, problemOf } from '~/api/errors.ts';
import {
  accountOnDevice,
  chooseClub,
  endSession,
  isHere,
  refreshSession,
  session,
  signIn,
  watchSession,
} from '~/api/session.ts';
import { CLUB, SESSION, USER } from '../cast.ts';

type Handler = (request: Request) => Response | Promise<Response>;
let requests: Request[] = [];

function serve(handler: Handler): void {
  requests = [];
  vi.stubGlobal('fetch', async (request: Request) => {
    requests.push(request);
    return handler(request);
  });
}

const path = (request: Request): string => `${request.method} ${new URL(request.url).pathname}`;
const csrfFailed = (): Response => Response.json({ code: 'csrf_failed', detail: 'Stale.' }, { status: 403 });

beforeEach(() => {
  localStorage.clear();
  // biome-ignore lint/suspicious/noDocumentCookie: the token's cookie is what is tested.
  document.cookie = 'csrftoken=first';
});

afterEach(async () => {
  serve(() => new Response(null, { status: 401 }));
  await endSession();
  localStorage.clear();
  vi.unstubAllGlobals();
});

describe('sending', () => {
  test('it reads the token at the moment of sending, and only for what writes', async () => {
    serve(() => Response.json({}));
    await send(requestTo('/api/v1/me'));
    // biome-ignore lint/suspicious/noDocumentCookie: the token's cookie is what is tested.
    document.cookie = 'csrftoken=second';
    await send(requestTo('/api/v1/x', { method: 'PUT', body: '{}' }));
    expect(requests.map((request) => request.headers.get('X-CSRFToken'))).toEqual([null, 'second']);
    expect(requests[1]?.redirect).toBe('error');
  });

  test('it fetches a new token and sends once more when the old one is stale', async () => {
    serve((request) => {
      if (path(request) === 'GET /api/v1/me') {
        // biome-ignore lint/suspicious/noDocumentCookie: the server sets it so.
        document.cookie = 'csrftoken=fresh';
        return Response.json(SESSION);
      }
      return request.headers.get('X-CSRFToken') === 'fresh' ? Response.json({ ok: 1 }) : csrfFailed();
    });
    const response = await send(requestTo('/api/v1/x', { method: 'PUT', body: '{"a":1}' }));
    expect(response.status).toBe(200);
    expect(requests.map(path)).toEqual(['PUT /api/v1/x', 'GET /api/v1/me', 'PUT /api/v1/x']);
    expect(await requests[2]?.text()).toBe('{"a":1}');
  });

  test('it sends no third time', async () => {
    serve((request) => (path(request) === 'GET /api/v1/me' ? Response.json(SESSION) : csrfFailed()));
    expect((await send(requestTo('/api/v1/x', { method: 'PUT', body: '{}' }))).status).toBe(403);
    expect(requests).toHaveLength(3);
  });

  test('it leaves any other 403 alone', async () => {
    serve(() => Response.json({ code: 'forbidden', detail: 'No.' }, { status: 403 }));
    await send(requestTo('/api/v1/x', { method: 'PUT', body: '{}' }));
    expect(requests).toHaveLength(1);
  });

  test('it tells when the API knows nobody', async () => {
    const heard = vi.fn();
    const stop = onUnauthorised(heard);
    serve(() => new Response(null, { status: 401 }));
    await send(requestTo('/_allauth/browser/v1/auth/session'));
    expect(heard).not.toHaveBeenCalled();
    await send(requestTo('/api/v1/clubs/x/barrels'));
    expect(heard).toHaveBeenCalledOnce();
    stop();
  });
});

describe('problems', () => {
  test('it reads a problem of the API whole', () => {
    // Source of the form: RFC 9457, section 3; `code` and `fields` are ours.
    const problem = problemFrom(422, {
      type: 'about:blank',
      title: 'Unprocessable Content',
      status: 422,
      code: 'impossible_value',
      detail: 'Liking goes from 0 to 10.',
      fields: [{ field: 'liking', value: 11, allowed: '0 to 10', detail: 'Too much.' }],
    });
    expect(problem.code).toBe('impossible_value');
    expect(fieldProblem(problem, 'liking')).toMatchObject({ value: 11, allowed: '0 to 10' });
    expect(fieldProblem(problem, 'oak')).toBeUndefined();
  });

  test.each([new Response('<h1>Bad gateway</h1>', { status: 502 }), Response.json(['x'], { status: 502 })])(
    'it makes a sentence of what is no problem',
    async (response) => {
      expect(await problemOf(response)).toMatchObject({ status: 502, code: 'http_502', fields: [] });
    },
  );
});

describe('the session', () => {
  const signedIn: Handler = () => Response.json(SESSION);
  const nobody: Handler = () =>
    Response.json({ code: 'signed_out', detail: 'Sign in first.' }, { status: 401 });
  const noSignal: Handler = () => Promise.reject(new TypeError('Failed to fetch'));

  test('it knows who is here, and chooses the only club', async () => {
    serve(signedIn);
    await refreshSession();
    expect(session.value).toMatchObject({ state: 'signed_in', user: { id: USER }, club: { id: CLUB } });
    expect(isHere.value).toBe(true);
    expect(accountOnDevice()).toBe(USER);
  });

  test('it stays as it was without signal, and readable when the server has forgotten it', async () => {
    serve(signedIn);
    await refreshSession();
    serve(noSignal);
    expect(await refreshSession()).toMatchObject({ code: 'no_signal' });
    expect(session.value.state).toBe('signed_in');
    serve(nobody);
    await refreshSession();
    expect(session.value).toMatchObject({ state: 'expired', user: { id: USER }, club: { id: CLUB } });
    expect(isHere.value).toBe(true);
  });

  test('it expires as soon as any request says so', async () => {
    const stop = watchSession();
    serve(signedIn);
    await refreshSession();
    serve(nobody);
    await send(requestTo('/api/v1/clubs/x/tastings/y', { method: 'PUT', body: '{}' }));
    expect(session.value.state).toBe('expired');
    stop();
  });

  test('a page of another network is no sign-out', async () => {
    serve(signedIn);
    await refreshSession();
    serve(() => new Response('<h1>Welcome to our wifi</h1>'));
    expect(await refreshSession()).toMatchObject({ code: 'no_signal' });
    expect(session.value.state).toBe('signed_in');
  });

  test('it signs in and says who it is', async () => {
    serve((request) =>
      path(request).startsWith('POST') ? Response.json({ status: 200 }) : Response.json(SESSION),
    );
    expect(await signIn('member@club.example', 'secret')).toEqual({ ok: true });
    expect(requests.map(path)).toEqual(['POST /_allauth/browser/v1/auth/login', 'GET /api/v1/me']);
    expect(session.value.state).toBe('signed_in');
  });

  test('it says in a sentence why it did not', async () => {
    serve(() =>
      Response.json(
        {
          status: 400,
          errors: [{ code: 'email_password_mismatch', message: 'They do not fit.', param: 'password' }],
        },
        { status: 400 },
      ),
    );
    const answer = await signIn('member@club.example', 'wrong');
    expect(answer).toMatchObject({
      ok: false,
      problem: { detail: 'They do not fit.', code: 'email_password_mismatch' },
    });
    serve(() => Response.json({ status: 429 }, { status: 429 }));
    expect(await signIn('member@club.example', 'x')).toMatchObject({
      ok: false,
      problem: { code: 'too_many_attempts' },
    });
    serve(noSignal);
    expect(await signIn('member@club.example', 'x')).toMatchObject({
      ok: false,
      problem: { code: 'no_signal' },
    });
  });

  test('while somebody signs in, no tab takes the last account for the one signed in', async () => {
    serve(signedIn);
    await refreshSession();
    let seen: string | null = 'not asked';
    serve((request) => {
      if (path(request).startsWith('POST')) seen = accountOnDevice();
      return Response.json(SESSION);
    });
    await signIn('other@club.example', 'secret');
    expect(seen).toBeNull();
  });

  test('it forgets at once on sign-out, and ends the server’s session when signal is back', async () => {
    serve(signedIn);
    await refreshSession();
    serve(noSignal);
    await endSession();
    expect(session.value.state).toBe('signed_out');
    expect(accountOnDevice()).toBeNull();
    serve((request) => (request.method === 'DELETE' ? new Response(null, { status: 401 }) : nobody(request)));
    await refreshSession();
    expect(requests.map(path)).toEqual(['DELETE /_allauth/browser/v1/auth/session', 'GET /api/v1/me']);
    expect(session.value.state).toBe('signed_out');
  });

  test('it keeps the chosen club over a refresh', async () => {
    const two = {
      ...SESSION,
      persons: [
        ...SESSION.persons,
        { ...SESSION.persons[0]!, id: 'p2', club: { id: 'c2', slug: 'b', name: 'B' } },
      ],
    };
    serve(() => Response.json(two));
    await refreshSession();
    expect(session.value.club).toBeNull();
    expect(isHere.value).toBe(false);
    chooseClub('c2');
    await refreshSession();
    expect(session.value.club?.id).toBe('c2');
  });
});
