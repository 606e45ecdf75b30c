/** Sends the queue, one entry at a time and in order. Run by the leading tab only; harmless if two ever do. */

import { requestTo, send } from '../api/client.ts';
import type { ClubDatabase } from '../store/db.ts';
import { type Answered, isAlreadySo, judge, type Outcome } from './conflict.ts';
import {
  BACK_OFF_MOST_MS,
  backOffMs,
  isDue,
  LONGEST_WAIT_MS,
  NO_SIGNAL_MOST_MS,
  nextTryAt,
  type OutboxEntry,
  sendable,
} from './entry.ts';
import {
  type Hurry,
  queueAll,
  queueConflicted,
  queueDone,
  queueKick,
  queueRefused,
  queueRevive,
  queueSending,
  queueWait,
} from './queue.ts';

export interface ReplayNeeds {
  db: ClubDatabase;
  /** Whether the account that wrote these entries is the one signed in, asked before each of them. */
  mayGo: () => boolean;
  deliver?: (entry: OutboxEntry) => Promise<Answered | null>;
  /** Reads the row that an edit is about. */
  lookUp?: (entry: OutboxEntry) => Promise<Record<string, unknown> | null>;
  now?: () => number;
  random?: () => number;
}

export interface RunEnd {
  /** How many arrived in this run. */
  done: number;
  /** When another run makes sense; null when nothing waits. */
  next_try_at_ms: number | null;
  is_paused: boolean;
  has_signal: boolean;
}

export interface Replay {
  run(): Promise<RunEnd>;
  /** Ends the waiting: of all, or of what only waited for signal. */
  hurry(by: Hurry): Promise<void>;
}

function retryAfterMs(header: string | null, now_ms: number): number | null {
  if (!header) return null;
  const seconds = Number(header);
  const wait = Number.isFinite(seconds) ? seconds * 1000 : Date.parse(header) - now_ms;
  return Number.isFinite(wait) ? Math.min(Math.max(0, wait), LONGEST_WAIT_MS) : null;
}

/** What came back, or null when nothing did. */
export async function answerOf(request: Request, within_ms?: number): Promise<Answered | null> {
  let response: Response;
  let text: string;
  try {
    response = await send(request, within_ms);
    text = await response.text();
  } catch {
    return null;
  }
  let body: unknown = null;
  try {
    body = JSON.parse(text);
  } catch {
    // Not ours; the status alone speaks.
  }
  const retry_after_ms = retryAfterMs(response.headers.get('Retry-After'), Date.now());
  return { status: response.status, body, retry_after_ms };
}

export function deliverByHttp(entry: OutboxEntry): Promise<Answered | null> {
  const headers: Record<string, string> = {
    'Content-Type': 'application/json',
    // Outside the body and its hash: the server learns how wrong this clock is.
    'Sent-At': new Date().toISOString(),
  };
  if (entry.base_version !== null) headers['If-Match'] = `"${entry.base_version}"`;
  return answerOf(requestTo(entry.path, { method: entry.method, headers, body: entry.text }));
}

async function lookUpByHttp(entry: OutboxEntry): Promise<Record<string, unknown> | null> {
  const answered = await answerOf(requestTo(entry.path));
  return answered?.status === 200 ? (answered.body as Record<string, unknown>) : null;
}

export function createReplay(needs: ReplayNeeds): Replay {
  const { db, mayGo } = needs;
  const deliver = needs.deliver ?? deliverByHttp;
  const lookUp = needs.lookUp ?? lookUpByHttp;
  const now = needs.now ?? Date.now;
  const random = needs.random ?? Math.random;
  let allWaitUntil_ms = 0;
  let failuresInARow = 0;
  let isForSignal = false;

  async function waitFor(entry: OutboxEntry, outcome: Extract<Outcome, { kind: 'wait' }>): Promise<void> {
    if (outcome.is_all) {
      failuresInARow += 1;
      isForSignal = outcome.trouble === 'no_signal';
      const most_ms = isForSignal ? NO_SIGNAL_MOST_MS : BACK_OFF_MOST_MS;
      allWaitUntil_ms = now() + (outcome.after_ms ?? backOffMs(failuresInARow, random, most_ms));
    }
    const own = outcome.after_ms ?? backOffMs(entry.tries, random);
    // No signal is no fault of the entry: it goes as soon as all may.
    const next_try_at_ms = outcome.trouble === 'no_signal' ? allWaitUntil_ms : now() + own;
    await queueWait(db, entry.id, { trouble: outcome.trouble, next_try_at_ms });
  }

  async function settleEdit(entry: OutboxEntry, outcome: Extract<Outcome, { kind: 'version_changed' }>) {
    const theirs = await lookUp(entry);
    if (!theirs) {
      await queueWait(db, entry.id, {
        trouble: 'no_signal',
        next_try_at_ms: now() + backOffMs(entry.tries, random),
      });
    } else if (isAlreadySo(entry, theirs)) {
      await queueDone(db, entry.id, theirs, now());
    } else {
      await queueConflicted(db, entry.id, outcome.problem, theirs);
    }
  }

  /** Returns false when the run should stop. */
  async function handle(entry: OutboxEntry, outcome: Outcome): Promise<boolean> {
    if (outcome.kind === 'wait') {
      await waitFor(entry, outcome);
      return !outcome.is_all;
    }
    failuresInARow = 0;
    if (outcome.kind === 'pause') {
      await queueWait(db, entry.id, { trouble: 'signed_out', next_try_at_ms: now() });
      return false;
    }
    if (outcome.kind === 'done') await queueDone(db, entry.id, outcome.answer, now());
    else if (outcome.kind === 'refused') await queueRefused(db, entry.id, outcome.problem);
    else await settleEdit(entry, outcome);
    return true;
  }

  async function run(): Promise<RunEnd> {
    let done = 0;
    let is_paused = !mayGo();
    let has_signal = true;
    await queueRevive(db);
    while (!is_paused && isDue(allWaitUntil_ms, now())) {
      const next = sendable(await queueAll(db), now())[0];
      if (!next) break;
      if (!mayGo()) {
        is_paused = true;
        break;
      }
      const entry = await queueSending(db, next.id);
      // Taken back or moved on in another tab meanwhile.
      if (!entry) continue;
      const outcome = judge(entry, await deliver(entry));
      const goesOn = await handle(entry, outcome);
      if (outcome.kind === 'done') done += 1;
      if (outcome.kind === 'pause') is_paused = true;
      if (outcome.kind === 'wait' && outcome.trouble === 'no_signal') has_signal = false;
      if (!goesOn) break;
    }
    const next = nextTryAt(await queueAll(db), now());
    const next_try_at_ms = next === null || is_paused ? null : Math.max(next, allWaitUntil_ms);
    return { done, next_try_at_ms, is_paused, has_signal };
  }

  return {
    run,
    async hurry(by) {
      if (by === 'person' || isForSignal) {
        allWaitUntil_ms = 0;
        failuresInARow = 0;
      }
      await queueKick(db, now(), by);
    },
  };
}
