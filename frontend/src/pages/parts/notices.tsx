import { notices } from '~/outbox/overlay.ts';
import { readFlights } from '~/store/club.ts';
import { late } from './late.ts';

const NoticeList = late(() => import('./notice-list.tsx'));

/** Word of trouble to whom it touches, and glasses that wait for them; fetched only where there is some. */
export function Notices() {
  return notices.value.length > 0 || readFlights.value.some((one) => !one.opened_at) ? <NoticeList /> : null;
}
