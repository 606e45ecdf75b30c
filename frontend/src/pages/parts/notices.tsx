import { notices } from '~/outbox/overlay.ts';
import { late } from './late.ts';

const NoticeList = late(() => import('./notice-list.tsx'));

/** Word of trouble to whom it touches; fetched only where there is some. */
export function Notices() {
  return notices.value.length > 0 ? <NoticeList /> : null;
}
