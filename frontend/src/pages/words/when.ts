/** When something was done, where that was not now: a day and a time as the club's wall shows them. */

import { clockIn, dayIn, instantIn, localIso } from '~/science/dates.ts';
import { type Moment, nearTime } from './time.ts';

/** What an entry says of its time: nothing for now, else when, and that somebody typed it. */
export type Said = { happened_at?: string; time_typed?: true };

const MINUTE_MS = 60_000;

/** "2026-03-01T18:40", as a field of day and time holds it. */
export function wallTime(at_ms: number, timezone: string): string {
  return `${dayIn(timezone, at_ms)}T${clockIn(timezone, at_ms)}`;
}

/** The instant that was typed; null while it is none. */
export function typedMs(typed: string, { timezone }: Moment): number | null {
  const found = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)/.exec(typed);
  if (!found) return null;
  const at_ms = Date.parse(`${found[1]}T${found[2]}:00Z`);
  return Number.isFinite(at_ms) ? instantIn(timezone, found[1]!, found[2]!) : null;
}

/** Why a typed time cannot be: it is none, is still to come, or lies before what it happened in. */
export function whenWrong(typed: string, from_ms: number | null, moment: Moment): string | undefined {
  const at_ms = typedMs(typed, moment);
  if (at_ms === null) return 'Say the day and the time.';
  if (at_ms > moment.now_ms) return 'That is still to come.';
  // The field knows minutes only: the minute in which it began is not before it.
  if (from_ms !== null && at_ms + MINUTE_MS <= from_ms)
    return `That is before ${nearTime(from_ms, moment)}, when this began.`;
  return undefined;
}

/** What the entry says of it. A typed time is the person's word, so the server does not move it by a phone's clock. */
export function whenSaid(typed: string | null, from_ms: number | null, moment: Moment): Said {
  const at_ms = typed === null ? null : typedMs(typed, moment);
  if (at_ms === null) return {};
  return { happened_at: localIso(Math.max(at_ms, from_ms ?? at_ms)), time_typed: true };
}

interface Lived {
  contents: { started_at: string } | null;
  timeline: readonly { to: string | null }[];
}

/** The earliest that something can have happened to what is in a barrel; of an empty one, since it was emptied. */
export function begunMs({ contents, timeline }: Lived): number | null {
  const at = contents?.started_at ?? timeline.at(-1)?.to ?? null;
  return at === null ? null : Date.parse(at);
}

/** A little before or after what was said: the rinse before a fill, the roll after it. */
export function nearby(said: Said, seconds: number, now_ms: number): Said {
  const at_ms = said.happened_at === undefined ? now_ms : Date.parse(said.happened_at);
  // What was typed marks the beginning: what goes with it follows, and nothing falls before the stay it is in.
  const moved_ms = said.happened_at === undefined ? at_ms + seconds * 1000 : at_ms + (seconds + 2) * 1000;
  return { ...said, happened_at: localIso(moved_ms) };
}
