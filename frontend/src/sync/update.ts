/** The app's own version: registers the worker, tells when a newer one waits, and changes over only when asked. */

import { type ReadonlySignal, signal } from '@preact/signals';
import type { Workbox } from 'workbox-window';

/** How often an app that stays open asks for a newer version. */
const LOOK_EVERY_MS = 3_600_000;

const ready = signal(false);
/** A newer version waits. Offer it where no form is open. */
export const updateReady: ReadonlySignal<boolean> = ready;

let worker: Workbox | null = null;

/** How long the new worker may take to take over before the page is loaded anew all the same. */
const CHANGE_OVER_MS = 2_000;

/** Changes over to the waiting version and loads the page anew. */
export function applyUpdate(): void {
  if (!worker) {
    location.reload();
    return;
  }
  // A request that lands while the workers change over can leave the new one waiting, however often it is asked; a page
  // that loads anew lets go of the old one, and then it takes over.
  const late = setTimeout(() => location.reload(), CHANGE_OVER_MS);
  // The page that asked reloads when the new worker has taken over; other tabs are left alone.
  worker.addEventListener('controlling', () => {
    clearTimeout(late);
    location.reload();
  });
  worker.messageSkipWaiting();
}

/** Registers the worker after the first screen stands; nothing of it is in the way of the first paint. */
export async function startUpdates(): Promise<void> {
  if (!('serviceWorker' in navigator) || import.meta.env.DEV) return;
  if (document.readyState !== 'complete') {
    await new Promise((resolve) => addEventListener('load', resolve, { once: true }));
  }
  try {
    const { Workbox } = await import('workbox-window');
    worker = new Workbox('/sw.js', { scope: '/' });
    worker.addEventListener('waiting', () => {
      ready.value = true;
    });
    await worker.register();
    const { active } = await navigator.serviceWorker.ready;
    active?.postMessage({ type: 'CACHE_LATER' });
  } catch {
    // Without a worker the app works while there is signal; entries are kept all the same.
    return;
  }
  const look = (): void => {
    if (document.visibilityState === 'visible' && navigator.onLine)
      void worker?.update().catch(() => undefined);
  };
  setInterval(look, LOOK_EVERY_MS);
  document.addEventListener('visibilitychange', look);
}
