/** What the reader tasted today, at whichever barrel and in whichever blind glass. */

import { flights, unreadScores } from '~/outbox/flights.ts';
import { barrelBy, lately } from '~/outbox/overlay.ts';
import { blindSamplesOf, type Sample, samplesOf } from '../words/evening.ts';
import { tonightSince } from '../words/flights.ts';
import { today } from '../words/time.ts';
import { moment } from './clock.ts';
import { myId } from './me.ts';

export function myEvening(): Sample[] {
  const now = moment();
  const day = today(now);
  return [
    ...samplesOf(lately.value, myId(), day, barrelBy, now.now_ms),
    ...blindSamplesOf(flights.value, unreadScores(tonightSince(now.now_ms)), day),
  ];
}
