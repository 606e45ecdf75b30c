import { AsOf } from '~/components/as-of/index.tsx';
import { clockIn, dayIn } from '~/science/dates.ts';
import { syncStatus, unsentCount } from '~/sync/status.ts';
import { type Moment, nearTime } from '../words/time.ts';
import { moment } from './clock.ts';

function timeWords(at_ms: number, now: Moment): string {
  const isToday = dayIn(now.timezone, at_ms) === dayIn(now.timezone, now.now_ms);
  return isToday ? clockIn(now.timezone, at_ms) : nearTime(at_ms, now);
}

/** How fresh the store behind a screen is, at its top right. */
export function Fresh() {
  const { as_of_ms, has_signal, no_signal_since_ms, paused } = syncStatus.value;
  const now = moment();
  if (paused === 'signed_out')
    return (
      <a href="/mine" class="link due">
        sign in again to send
      </a>
    );
  if (!has_signal && no_signal_since_ms !== null) {
    return <AsOf kind="no-signal" time={timeWords(no_signal_since_ms, now)} unsent={unsentCount.value} />;
  }
  if (as_of_ms === null) return <AsOf kind="never" unsent={unsentCount.value} />;
  return <AsOf kind="fresh" time={timeWords(as_of_ms, now)} unsent={unsentCount.value} />;
}
