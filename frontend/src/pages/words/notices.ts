/** Word of trouble, as the person it touches reads it. */

import type { Notice } from '~/api/types.ts';
import { litres } from './numbers.ts';
import { type Moment, nearDayOf } from './time.ts';
import { troubleVerdict } from './trouble.ts';

const WHOSE: Record<Notice['why'], string> = {
  sharer: 'your fill',
  owner: 'your barrel',
  reserver: 'the barrel you have reserved',
};

const MOST = 3;

/** Unread ones, newest first; of a trouble that was settled only how it ended. */
export function noticesToShow(all: readonly Notice[], read: ReadonlySet<string>): Notice[] {
  const settled = new Set(all.filter((one) => one.outcome !== null).map((one) => one.trouble));
  return all
    .filter((one) => !read.has(one.id) && (one.outcome !== null || !settled.has(one.trouble)))
    .slice(0, MOST);
}

function endWords(notice: Notice): string {
  const amount = notice.volume_l === null ? null : litres(notice.volume_l);
  switch (notice.outcome) {
    case 'rescued':
      return amount ? `It was rescued: ${amount} into a vessel.` : 'It was rescued into a vessel.';
    case 'part_lost':
      return `${amount ?? 'Part'} of it was lost. The rest goes on.`;
    case 'all_lost':
      return 'All of it was lost.';
    case 'found':
      return 'It was found again.';
    case 'retired':
      return 'It is retired, and the reservation has lapsed.';
    case 'restored':
      return 'It is not retired after all: the reservation stands again.';
    case 'stays_ended':
      return 'It is not retired after all, but the days reserved are over or taken. Ask anew.';
    case 'sound':
      return 'Nothing was wrong.';
    default:
      return 'It is mended.';
  }
}

/** "Ebb, your fill: it leaks. Since Sunday." */
export function noticeWords(notice: Notice, barrel: string, now: Moment): { text: string; isRed: boolean } {
  const day = nearDayOf(Date.parse(notice.at), now);
  const who = `${barrel}, ${WHOSE[notice.why]}`;
  if (notice.outcome === null) {
    const what = troubleVerdict(notice.kind ?? '');
    return { text: `${who}: ${what.charAt(0).toLowerCase()}${what.slice(1)} Since ${day}.`, isRed: true };
  }
  const cause = notice.cause ? ` ${notice.cause}.` : '';
  const isRed = notice.outcome === 'all_lost' || notice.outcome === 'part_lost';
  return { text: `${who}, ${day}: ${endWords(notice)}${cause}`, isRed };
}
