/** What the first screen of a member and of a keeper is about. */

import type { Barrel, Reservation } from '~/api/types.ts';
import { bestWeeksWords } from './best-weeks.ts';
import { dueLines, harmfullyLate, lateLines, nextLine } from './care.ts';
import { dayMonth, type Moment, nearDayOf, today } from './time.ts';
import { type Found, worstTrouble } from './trouble.ts';

/** Fills that a person holds a share of, the one that wants them most first. */
export function myFills<B extends Barrel>(barrels: B[], me: string, moment: Moment): B[] {
  const mine = barrels.filter(
    (barrel) =>
      barrel.contents?.kind === 'fill' && barrel.contents.sharers.some((share) => share.person === me),
  );
  return mine.sort(
    (a, b) =>
      wants(b, moment) - wants(a, moment) ||
      nextTaste(a).localeCompare(nextTaste(b)) ||
      a.name.localeCompare(b.name),
  );
}

const nextTaste = (barrel: Barrel): string =>
  barrel.care.find((line) => line.task === 'taste')?.due_at ?? '9';

/** How loudly a fill asks for its sharer: trouble, a late taste, a taste due, anything else. */
function wants(barrel: Barrel, moment: Moment): number {
  if (barrel.troubles.length > 0) return 4;
  if (lateLines(barrel.care, moment).some((line) => line.task === 'taste')) return 3;
  if (dueLines(barrel.care, moment).some((line) => line.task === 'taste')) return 2;
  return 1;
}

export interface FillVerdict {
  /** In lamp: what is due. */
  due: string | null;
  /** What follows, in the plain voice of a reckoning. */
  next: string | null;
}

/** "Taste due today." with the weeks it will probably be best, else how long it is planned for. */
export function fillVerdict(barrel: Barrel, moment: Moment): FillVerdict {
  const taste = barrel.care.find((line) => line.task === 'taste');
  const isDue = taste !== undefined && dueLines([taste], moment).length > 0;
  const isLate = taste !== undefined && lateLines([taste], moment).length > 0;
  const pull = barrel.contents?.pull;
  const isQuarantined = barrel.troubles.some((trouble) => trouble.quarantine);
  const planned = pull ? bestWeeksWords(pull) : plannedWords(barrel, moment);
  // Nobody tastes it until the keeper clears it.
  if (isQuarantined) return { due: null, next: planned };
  if (isLate)
    return { due: `A taste is due since ${nearDayOf(Date.parse(taste.due_at), moment)}.`, next: planned };
  if (isDue) return { due: 'Taste due today.', next: planned };
  const next = taste ? `Next taste ${nearDayOf(Date.parse(taste.due_at), moment)}.` : null;
  return { due: null, next: [next, planned].filter(Boolean).join(' ') || null };
}

/** "Planned until 3 April." or that the plan is over. */
export function plannedWords(barrel: Barrel, moment: Moment): string | null {
  const { contents } = barrel;
  if (contents?.kind !== 'fill' || contents.planned_days === null) return null;
  const ends_ms = Date.parse(contents.started_at) + contents.planned_days * 86_400_000;
  const words = nearDayOf(ends_ms, moment);
  return ends_ms < moment.now_ms ? `Its planned time ended ${on(words)}.` : `Planned until ${words}.`;
}

const on = (words: string): string => (/^\d/.test(words) ? `on ${words}` : words);

/** What a member's own slot says: "Your next fill, pencilled from Saturday 4 April." */
export function mySlots(reservations: Reservation[], me: string, moment: Moment): Reservation[] {
  const day = today(moment);
  return reservations
    .filter(
      (one) =>
        one.ends_on > day &&
        (one.state === 'pencilled' || one.state === 'confirmed' || one.state === 'waiting') &&
        (one.person === me || one.shares.some((share) => share.person === me)),
    )
    .sort((a, b) => a.starts_on.localeCompare(b.starts_on));
}

export function slotSentence(reservation: Reservation, me: string, nameOf: (id: string) => string): string {
  const whose =
    reservation.person === me ? 'Your next fill' : `A fill of ${nameOf(reservation.person)} and you`;
  const from = dayMonth(reservation.starts_on);
  switch (reservation.state) {
    case 'confirmed':
      return `${whose}, from ${from}. The keeper has confirmed it.`;
    case 'waiting':
      return `${whose}, waiting for ${from}: somebody else has those days.`;
    default:
      return `${whose}, pencilled from ${from}. The keeper has not confirmed it yet.`;
  }
}

/** The next thing of all fills, for a day with nothing due. */
export function nextOfAll(barrels: Barrel[], moment: Moment): string | null {
  const next = barrels
    .map((barrel) => ({ barrel, line: nextLine(barrel.care, moment) }))
    .filter((one) => one.line !== null)
    .sort((a, b) => a.line!.due_at.localeCompare(b.line!.due_at))[0];
  if (!next) return null;
  return `Next is ${next.barrel.name}, ${nearDayOf(Date.parse(next.line!.due_at), moment)}.`;
}

export interface KeeperDay<B extends Barrel> {
  worst: Found | null;
  /** Other barrels in trouble, and those that are late in a way that harms. */
  troubled: { barrel: B; kind: string }[];
  late: B[];
}

/** What a keeper must know first. */
export function keeperDay<B extends Barrel>(barrels: B[], moment: Moment): KeeperDay<B> {
  const worst = worstTrouble(barrels);
  const troubled = barrels
    .filter(
      (barrel) => barrel.id !== worst?.barrel.id && barrel.state !== 'retired' && barrel.troubles.length > 0,
    )
    .map((barrel) => ({ barrel, kind: barrel.troubles[0]!.kind }));
  const shown = new Set([worst?.barrel.id, ...troubled.map((one) => one.barrel.id)]);
  const late = barrels
    .filter((barrel) => barrel.state !== 'retired' && !shown.has(barrel.id) && harmfullyLate(barrel, moment))
    .sort((a, b) => harmfullyLate(a, moment)!.late_at.localeCompare(harmfullyLate(b, moment)!.late_at));
  return { worst, troubled, late };
}
