/** The page before the phone's own reading: what somebody waits for is asked and drawn first. */

import { signal } from '@preact/signals';

/** A page that never gets its answer holds nothing up for longer. */
const LONGEST_MS = 3_000;

const asked = signal(0);

/** Counts a page's own question to the server; call what it returns when the answer is there. */
export function pageAsks(): () => void {
  asked.value += 1;
  let isOpen = true;
  return () => {
    if (isOpen) asked.value -= 1;
    isOpen = false;
  };
}

/** Resolves when the page is drawn and has what it asked for, or when it has had its time. */
export function pageServed(): Promise<void> {
  return new Promise((resolve) => {
    const latest = setTimeout(resolve, LONGEST_MS);
    whenIdle(() => {
      const unwatch = asked.subscribe((count) => {
        if (count > 0) return;
        clearTimeout(latest);
        resolve();
        queueMicrotask(() => unwatch());
      });
    });
  });
}

function whenIdle(then: () => void): void {
  // Safari has no idle callback; by then its first drawing is done as well.
  if ('requestIdleCallback' in globalThis) requestIdleCallback(then, { timeout: LONGEST_MS });
  else setTimeout(then, 200);
}
