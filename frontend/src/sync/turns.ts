/** The rhythm of sending and pulling: in turns, by the leading tab, sleeping until something calls or the clock does. */

import type { Hurry } from '../outbox/queue.ts';
import { lead } from './leader.ts';

/** What a turn was called for. */
export interface Calls {
  hurry: Hurry | null;
  /** Whether the club should be read even if it was read lately. */
  is_pull_due: boolean;
}

export interface TurnsNeeds {
  /** The name under which the tabs agree on a leader. */
  name: string;
  /** One turn of work; resolves to how long the next may wait. */
  work: (calls: Calls) => Promise<number>;
  isHidden: () => boolean;
  /** After a failed turn, or while another tab leads. */
  pause_ms?: number;
}

export interface Turns {
  /** `news`: this phone has something to send. */
  wake(by: Hurry | 'news'): void;
  /** Resolves when the next turn that begins has ended. */
  turn(): Promise<void>;
  stop(): void;
}

const PAUSE_MS = 5_000;

export function startTurns({ name, work, isHidden, pause_ms = PAUSE_MS }: TurnsNeeds): Turns {
  const stopping = new AbortController();
  // What waited for signal when the app was last open need not wait for the same again.
  let calls: Calls = { hurry: 'signal', is_pull_due: true };
  let isCalled = true;
  let wakeUp: (() => void) | null = null;
  let waiters: (() => void)[] = [];

  function sleep(ms: number): Promise<void> {
    if (isCalled || stopping.signal.aborted) return Promise.resolve();
    return new Promise((resolve) => {
      const end = (): void => {
        clearTimeout(timer);
        wakeUp = null;
        resolve();
      };
      const timer = setTimeout(end, ms);
      wakeUp = end;
    });
  }

  async function oneTurn(): Promise<number> {
    const [now, ended] = [calls, waiters];
    isCalled = false;
    calls = { hurry: null, is_pull_due: false };
    waiters = [];
    try {
      return await work(now);
    } finally {
      for (const end of ended) end();
    }
  }

  async function leading(): Promise<void> {
    while (!stopping.signal.aborted) {
      const wait_ms = await oneTurn();
      // A hidden tab may be frozen at any moment, and must not take the lead with it.
      if (isHidden() && !isCalled && wait_ms > pause_ms) {
        await sleep(pause_ms);
        if (!isCalled) return;
      }
      await sleep(wait_ms);
    }
  }

  async function keepGoing(): Promise<void> {
    while (!stopping.signal.aborted) {
      // A failed turn (a full phone, a database that a newer app took over) is told where it happened.
      await lead(name, leading, stopping.signal).catch(() => undefined);
      await sleep(isHidden() ? pause_ms * 60 : pause_ms);
    }
  }

  void keepGoing();
  return {
    wake(by) {
      if (by === 'person' || (by === 'signal' && calls.hurry === null)) calls.hurry = by;
      if (by !== 'news') calls.is_pull_due = true;
      isCalled = true;
      wakeUp?.();
    },
    turn: () => new Promise((resolve) => waiters.push(resolve)),
    stop() {
      stopping.abort();
      wakeUp?.();
      for (const end of waiters) end();
    },
  };
}
