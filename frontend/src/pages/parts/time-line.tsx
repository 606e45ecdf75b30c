import type { Barrel, Reservation } from '~/api/types.ts';
import { StaveLine, type StaveLineBooking, type StaveLineStay } from '~/components/stave-line/index.tsx';
import { nearDayOf } from '../words/time.ts';
import { moment } from './clock.ts';

const KINDS = new Set(['curing', 'fill', 'hold', 'bare']);

/** The stays of a barrel as its time-line draws them. */
export function staysOf(timeline: Barrel['timeline']): StaveLineStay[] {
  return timeline.map((stay) => ({
    kind: (KINDS.has(stay.kind) ? stay.kind : 'bare') as StaveLineStay['kind'],
    from: Date.parse(stay.from),
    to: stay.to === null ? null : Date.parse(stay.to),
    name: stay.name,
  }));
}

export function bookingsOf(reservations: Reservation[]): StaveLineBooking[] {
  return reservations
    .filter((one) => one.state === 'pencilled' || one.state === 'confirmed')
    .map((one) => ({
      from: Date.parse(`${one.starts_on}T00:00:00Z`),
      to: Date.parse(`${one.ends_on}T00:00:00Z`),
      state: one.state as 'pencilled' | 'confirmed',
      name: one.fill_name,
    }));
}

const WEEK_MS = 7 * 86_400_000;

export interface TimeLineProps {
  timeline: Barrel['timeline'];
  booked: Reservation[];
  from: number;
  to?: number;
  height?: number;
  label?: string;
  decorative?: boolean;
}

/** What a barrel held, holds and is booked for. */
export function TimeLine({ timeline, booked, from, to, height, label, decorative }: TimeLineProps) {
  const now = moment();
  const bookings = bookingsOf(booked);
  const end = to ?? Math.max(now.now_ms + 4 * WEEK_MS, ...bookings.map((one) => one.to));
  return (
    <StaveLine
      stays={staysOf(timeline)}
      booked={bookings}
      from={from}
      to={end}
      now={now.now_ms}
      height={height ?? 36}
      {...(label ? { label } : {})}
      {...(decorative ? { decorative } : {})}
      formatDate={(ms) => nearDayOf(ms, now)}
    />
  );
}
