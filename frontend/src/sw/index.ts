/// <reference lib="webworker" />
/** The worker's events. What it keeps is said in precache.ts; it sends and stores nothing of the club. */

import { clientsClaim } from 'workbox-core';
import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from 'workbox-precaching';
import { NavigationRoute, registerRoute } from 'workbox-routing';
import { type Asset, LATER_CACHE, laterOf, NOT_THE_APP, shellOf } from './precache.ts';

declare const self: ServiceWorkerGlobalScope & { __WB_MANIFEST: Asset[] };

const manifest = self.__WB_MANIFEST;
const later = new Set(laterOf(manifest));

precacheAndRoute(shellOf(manifest));
cleanupOutdatedCaches();
registerRoute(new NavigationRoute(createHandlerBoundToURL('index.html'), { denylist: NOT_THE_APP }));
registerRoute(
  ({ url }) => url.origin === self.location.origin && later.has(url.pathname),
  async ({ url }) => fromLater(url.pathname),
);

// The first visit already works offline: the page that registered this worker is served by it from now on. A newer
// worker waits until the person says so; it never calls skipWaiting by itself.
clientsClaim();

async function fromLater(path: string): Promise<Response> {
  const cache = await caches.open(LATER_CACHE);
  const kept = await cache.match(path);
  if (kept) return kept;
  const fetched = await fetch(path);
  if (fetched.ok) await cache.put(path, fetched.clone());
  return fetched;
}

/** Fetches what is missing, and drops what an older version left. */
async function cacheLater(): Promise<void> {
  const cache = await caches.open(LATER_CACHE);
  for (const request of await cache.keys()) {
    if (!later.has(new URL(request.url).pathname)) await cache.delete(request);
  }
  for (const path of later) await fromLater(path);
}

self.addEventListener('message', (event) => {
  const type = (event.data as { type?: string } | null)?.type;
  if (type === 'SKIP_WAITING') void self.skipWaiting();
  // No signal just now: the next start asks again.
  if (type === 'CACHE_LATER') event.waitUntil(cacheLater().catch(() => undefined));
});
