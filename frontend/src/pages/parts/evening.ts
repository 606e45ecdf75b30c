/** What the reader tasted today, at whichever barrel. */

import { barrelBy, lately } from '~/outbox/overlay.ts';
import { type Sample, samplesOf } from '../words/evening.ts';
import { today } from '../words/time.ts';
import { moment } from './clock.ts';
import { myId } from './me.ts';

export function myEvening(): Sample[] {
  const now = moment();
  return samplesOf(lately.value, myId(), today(now), barrelBy, now.now_ms);
}
