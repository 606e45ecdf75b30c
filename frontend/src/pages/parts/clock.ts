/** The time a page speaks in: this phone's clock, moved on every half minute, in the club's zone. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { club } from '~/outbox/overlay.ts';
import type { Moment } from '../words/time.ts';

const EVERY_MS = 30_000;

const current = signal(Date.now());
export const nowMs: ReadonlySignal<number> = current;

const tick = (): void => {
  current.value = Date.now();
};
setInterval(tick, EVERY_MS);
document.addEventListener('visibilitychange', tick);

// Looking it up takes a browser milliseconds, and every row of a list asks for it.
const phoneZone = Intl.DateTimeFormat().resolvedOptions().timeZone;

export function clubZone(): string {
  return club.value?.timezone ?? phoneZone;
}

export function moment(): Moment {
  return { now_ms: nowMs.value, timezone: clubZone() };
}
