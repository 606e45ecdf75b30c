/** What one turn does for a club: send what waits, then read what changed. */

import { effect } from '@preact/signals';
import { accountOnDevice, session } from '../api/session.ts';
import type { Uuid } from '../api/types.ts';
import { createPhotoReplay } from '../outbox/photo-replay.ts';
import { queuedPhotos } from '../outbox/photos.ts';
import { outboxEntries, queueSweep } from '../outbox/queue.ts';
import { createReplay } from '../outbox/replay.ts';
import type { ClubDatabase } from '../store/db.ts';
import { onStoredElsewhere } from '../store/live.ts';
import { pageServed } from './page-first.ts';
import { askPageOf, pullAll } from './pull.ts';
import { reportSignal, reportStatus } from './status.ts';
import { type Calls, startTurns, type Turns } from './turns.ts';

/** How often an open screen asks what is new. */
export const PULL_EVERY_MS = 60_000;
const PULL_HIDDEN_EVERY_MS = 600_000;
const SHORTEST_WAIT_MS = 250;

const isHidden = (): boolean => document.visibilityState === 'hidden';

export function startClubWork(db: ClubDatabase, user: Uuid, club: Uuid): Turns {
  const stopping = new AbortController();
  const ask = askPageOf(club);
  // Read afresh each time: another tab may have signed somebody else in.
  const mayGo = (): boolean => {
    const { state, user: who } = session.peek();
    const isMe = who?.id === user && accountOnDevice() === user;
    return isMe && (state === 'signed_in' || state === 'remembered');
  };
  const replay = createReplay({ db, mayGo });
  const photos = createPhotoReplay({ db, club, mayGo });

  let isFirst = true;

  async function pull(): Promise<void> {
    if (isFirst) await pageServed();
    isFirst = false;
    if (stopping.signal.aborted) return;
    reportStatus({ pulling: true });
    const pulled = await pullAll(db, ask, { signal: stopping.signal });
    if (stopping.signal.aborted) return;
    const hasAnswer = pulled.ok || pulled.problem.status !== 0;
    reportSignal(hasAnswer, Date.now());
    reportStatus({ pulling: false, problem: pulled.ok || !hasAnswer ? null : pulled.problem });
  }

  function reportSending(is_paused: boolean): void {
    const { state, user: who } = session.peek();
    const isOther = who?.id !== user || (state !== 'expired' && state !== 'signed_out');
    reportStatus({ paused: !is_paused ? null : isOther ? 'other_account' : 'signed_out' });
  }

  async function work({ hurry, is_pull_due }: Calls): Promise<number> {
    if (hurry) {
      await replay.hurry(hurry);
      photos.hurry();
    }
    const sent = await replay.run();
    reportSending(sent.is_paused);
    // Where an entry found no answer a picture finds none.
    const shown = sent.has_signal && !sent.is_paused ? await photos.run() : null;
    if (!sent.has_signal) reportSignal(false, Date.now());
    const as_of_ms = ((await db.get('meta', 'as_of_ms')) as number | undefined) ?? 0;
    const age_ms = Date.now() - as_of_ms;
    // A reading from the future was made by a clock that has been put right since.
    const isOld = age_ms < 0 || age_ms >= (isHidden() ? PULL_HIDDEN_EVERY_MS : PULL_EVERY_MS);
    if (mayGo() && (is_pull_due || sent.done > 0 || isOld)) await pull();
    await queueSweep(db, Date.now());
    const untilPull_ms = isHidden() ? PULL_HIDDEN_EVERY_MS : PULL_EVERY_MS;
    const next_ms = [sent.next_try_at_ms, shown?.next_try_at_ms ?? null].filter((at_ms) => at_ms !== null);
    if (next_ms.length === 0) return untilPull_ms;
    return Math.min(untilPull_ms, Math.max(SHORTEST_WAIT_MS, Math.min(...next_ms) - Date.now()));
  }

  const turns = startTurns({ name: db.name, work, isHidden });
  const stopWatching = effect(() => {
    void outboxEntries.value;
    void queuedPhotos.value;
    turns.wake('news');
  });
  const stopHearing = onStoredElsewhere((stores) => {
    if (stores.includes('outbox') || stores.includes('photo_queue')) turns.wake('news');
  });
  return {
    ...turns,
    stop() {
      stopping.abort();
      stopWatching();
      stopHearing();
      turns.stop();
    },
  };
}
