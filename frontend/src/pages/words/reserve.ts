/** The wish for a barrel: its sentence, its query and what becomes of it. */

import type { Family, Reservation, ReservationAnswer, Spirit } from '~/api/types.ts';
import { addDays } from '~/science/dates.ts';
import { FAMILIES, SPIRITS } from './barrel.ts';
import { capital } from './numbers.ts';
import { dayMonth } from './time.ts';

export interface Wish {
  fill_name: string;
  spirit: Spirit;
  family: Family;
  volume_l: number;
  /** Empty while it is not known yet. */
  abv_pct: number | null;
  earliest: string;
  weeks: number;
  oak: number;
}

export const OAK_WISHES = ['', 'hardly there', 'gentle', 'medium', 'full', 'strong'];

/** What people fill here, by kind only; the family decides what the wood may pass on. */
export const FILL_KINDS: { value: string; label: string; spirit: Spirit; family: Family }[] = [
  { value: 'whisky', label: 'whisky', spirit: 'whisky', family: 'spirit' },
  { value: 'smoky', label: 'smoky whisky', spirit: 'whisky', family: 'smoke' },
  { value: 'rum', label: 'rum', spirit: 'rum', family: 'spirit' },
  { value: 'agave', label: 'agave spirit', spirit: 'agave', family: 'spirit' },
  { value: 'smoky_agave', label: 'smoky agave spirit', spirit: 'agave', family: 'smoke' },
  { value: 'brandy', label: 'brandy', spirit: 'brandy', family: 'spirit' },
  { value: 'clear', label: 'unaged or delicate spirit', spirit: 'unknown', family: 'neutral' },
  { value: 'wine', label: 'fortified wine', spirit: 'fortified_wine', family: 'wine' },
  { value: 'mix', label: 'a mix with liqueur, bitters or wine', spirit: 'cocktail', family: 'cocktail' },
];

/** The kind that a wish is of. */
export function kindOf(wish: Pick<Wish, 'spirit' | 'family'>): string {
  return (
    FILL_KINDS.find((kind) => kind.spirit === wish.spirit && kind.family === wish.family)?.value ??
    FILL_KINDS.find((kind) => kind.family === wish.family)?.value ??
    'mix'
  );
}

export function kindLabel(wish: Pick<Wish, 'spirit' | 'family' | 'fill_name'>): string {
  if (wish.fill_name.trim()) return wish.fill_name.trim();
  const kind = FILL_KINDS.find((one) => one.spirit === wish.spirit && one.family === wish.family);
  return kind?.label ?? SPIRITS[wish.spirit] ?? FAMILIES[wish.family] ?? 'a spirit';
}

/** What keeps a wish from being asked, by field. */
export function wishProblems(
  wish: Wish,
  today: string,
): { field: string; detail: string; allowed: string }[] {
  const found: { field: string; detail: string; allowed: string }[] = [];
  if (!(wish.volume_l > 0 && wish.volume_l <= 350)) {
    found.push({
      field: 'volume_l',
      detail: 'A barrel holds less than that.',
      allowed: 'more than 0, up to 350 L',
    });
  }
  if (wish.abv_pct !== null && !(wish.abv_pct >= 0 && wish.abv_pct <= 97)) {
    found.push({ field: 'abv_pct', detail: 'No spirit is that strong.', allowed: '0 to 97 % vol' });
  }
  if (wish.earliest < today) {
    found.push({ field: 'earliest', detail: 'That day has passed.', allowed: 'today or later' });
  }
  return found;
}

/** The days of a suggestion, exclusive of its last: "4 April to 30 May". */
export function datesWords(starts_on: string, ends_on: string): string {
  return `${dayMonth(starts_on)} to ${dayMonth(addDays(ends_on, -1))}`;
}

export interface Outcome {
  verdict: string;
  detail: string;
  tone: 'ok' | 'due';
}

/** Who or what has the days: "Wick has pencilled it". */
function holderWords(clash: ReservationAnswer['clash'], nameOf: (id: string) => string): string {
  if (!clash) return 'Those days are taken';
  if (clash.person === null) return clash.state === 'curing' ? 'It is curing then' : 'It holds a fill then';
  return `${nameOf(clash.person)} ${clash.state === 'pencilled' ? 'has pencilled it' : 'has it'}`;
}

const ORDINALS = ['', 'next in line', 'second in line', 'third in line', 'fourth in line'];

/** "You are on the waiting list, next in line." */
export function placeWords(reservation: Pick<Reservation, 'waiting_place'>): string {
  const place = reservation.waiting_place;
  if (place === null) return 'You are on the waiting list.';
  return `You are on the waiting list, ${ORDINALS[place] ?? `number ${place}`}.`;
}

/** What the server did with a wish: pencilled, or waiting with the reason and the next free day. */
export function outcomeOf(
  answer: ReservationAnswer,
  barrel: string,
  nameOf: (id: string) => string,
): Outcome {
  const { reservation, clash, next_free_on } = answer;
  if (reservation.state === 'waiting') {
    const dates = clash ? `, ${datesWords(clash.starts_on, clash.ends_on)}` : '';
    const free = next_free_on ? ` It is next free on ${dayMonth(next_free_on)}.` : '';
    return {
      verdict: `${barrel} is taken then.`,
      detail: `${holderWords(clash, nameOf)}${dates}. ${placeWords(reservation)}${free}`,
      tone: 'due',
    };
  }
  if (reservation.state === 'confirmed') {
    return {
      verdict: `${barrel} is yours from ${dayMonth(reservation.starts_on)}.`,
      detail: 'The keeper has confirmed it.',
      tone: 'ok',
    };
  }
  return {
    verdict: `Pencilled: ${barrel}, ${datesWords(reservation.starts_on, reservation.ends_on)}.`,
    detail: `The keeper confirms it${reservation.expires_at ? ', or it lapses' : ''}.`,
    tone: 'ok',
  };
}

/** One reservation as its owner or the keeper reads it. */
export function reservationState(reservation: Reservation): string {
  switch (reservation.state) {
    case 'pencilled':
      return 'Pencilled; the keeper has not confirmed it yet.';
    case 'confirmed':
      return 'Confirmed.';
    case 'waiting':
      return 'Waiting: somebody else has those days.';
    case 'refused':
      return reservation.reason ? `Refused: ${sentence(reservation.reason)}` : 'Refused.';
    case 'withdrawn':
      return 'Withdrawn.';
    case 'expired':
      return 'Lapsed: it was not confirmed in time.';
    default:
      return 'Filled.';
  }
}

export function sentence(words: string): string {
  const trimmed = words.trim();
  return /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}

const HOLDS = new Set(['pencilled', 'confirmed', 'waiting']);

export interface Clash {
  barrel: string;
  first: Reservation;
  second: Reservation;
}

/** Barrels wanted twice for days that overlap, whoever asked first named first. */
export function wantedTwice(reservations: Reservation[]): Clash[] {
  const open = reservations.filter((one) => HOLDS.has(one.state));
  const found: Clash[] = [];
  for (const waiting of open.filter((one) => one.state === 'waiting')) {
    const other = open.find(
      (one) =>
        one.id !== waiting.id &&
        one.state !== 'waiting' &&
        one.barrel === waiting.barrel &&
        one.starts_on < waiting.ends_on &&
        waiting.starts_on < one.ends_on,
    );
    if (other) found.push({ barrel: waiting.barrel, first: other, second: waiting });
  }
  return found;
}

export const isOpen = (reservation: Reservation): boolean => HOLDS.has(reservation.state);

export const capitalFill = (reservation: Reservation): string =>
  capital(reservation.fill_name || SPIRITS[reservation.spirit] || 'a fill');
