/** Every request of the app leaves through `send`: same origin, the CSRF token read at the moment of sending. */

import createClient from 'openapi-fetch';
import { problemOf } from './errors.ts';
import type { paths } from './schema.d.ts';

const SAFE = new Set(['GET', 'HEAD', 'OPTIONS']);
const CSRF_COOKIE = /(?:^|;\s*)(?:__Host-|__Secure-)?csrftoken=([^;]*)/;
const ME = '/api/v1/me';
/** Long enough for a bad line, short enough that a hung one does not hold the queue. */
export const ANSWER_WITHIN_MS = 30_000;

type Listener = () => void;
const unauthorised = new Set<Listener>();

/** Calls back whenever the API says that nobody is signed in. */
export function onUnauthorised(listener: Listener): () => void {
  unauthorised.add(listener);
  return () => unauthorised.delete(listener);
}

export function csrfToken(): string {
  const found = CSRF_COOKIE.exec(document.cookie)?.[1];
  return found ? decodeURIComponent(found) : '';
}

async function once(request: Request, within_ms = ANSWER_WITHIN_MS): Promise<Response> {
  const headers = new Headers(request.headers);
  if (!headers.has('Accept')) headers.set('Accept', 'application/json');
  if (!SAFE.has(request.method)) headers.set('X-CSRFToken', csrfToken());
  return globalThis.fetch(
    new Request(request, {
      headers,
      credentials: 'same-origin',
      // A redirect is a captive portal or a mistake, never an answer of the API.
      redirect: 'error',
      signal: AbortSignal.timeout(within_ms),
    }),
  );
}

/** Sends; when the CSRF token has gone stale, fetches a new one and tries once more. */
export async function send(request: Request, within_ms?: number): Promise<Response> {
  const spare = SAFE.has(request.method) ? null : request.clone();
  let response = await once(request, within_ms);
  if (spare && response.status === 403 && (await problemOf(response.clone())).code === 'csrf_failed') {
    await once(new Request(new URL(ME, location.origin)));
    response = await once(spare, within_ms);
  }
  if (response.status === 401 && new URL(request.url).pathname.startsWith('/api/')) {
    for (const listener of unauthorised) listener();
  }
  return response;
}

/** The typed client over the OpenAPI file. */
export const api = createClient<paths>({
  baseUrl: typeof location === 'undefined' ? 'http://localhost' : location.origin,
  fetch: (request) => send(request),
});

/** A request to our own server, by its path. */
export function requestTo(path: string, init: RequestInit = {}): Request {
  return new Request(new URL(path, location.origin), init);
}
