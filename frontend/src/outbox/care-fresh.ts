/**
 * What a stay asks for that only this phone knows of: its lines by the club's own periods, as the server will say them
 * once it has heard. What was done since is laid over them like over any other (care-here.ts).
 */

import type { Barrel, CareLine, Club, Place } from '../api/types.ts';
import { instantIn } from '../science/dates.ts';
import { tasksIn } from './care-here.ts';
import type { OutboxEntry } from './entry.ts';

type Period = Club['care'][number];

const HOUR_MS = 3_600_000;
const DAY_HOURS = 24;
/** A cellar warmer than this wants its water changed at the stricter pace (the server's hold.water.strict). */
const WARM_C = 20;

/** What begins another state of a barrel. */
const TURNS = new Set([
  'curings',
  'curing-verdicts',
  'holds',
  'drainings',
  'fills',
  'decants',
  'repairs',
  'trouble-settlements',
]);

const text = (value: unknown): string => (typeof value === 'string' ? value : '');

/** The entry of this phone that brought a barrel to the state it is in; none where the server knows of it. */
function turnOf(barrel: Pick<Barrel, 'state_since'>, entries: readonly OutboxEntry[]) {
  return entries.find(
    (entry) => TURNS.has(entry.collection) && text(entry.body.happened_at) === barrel.state_since,
  );
}

const periodOf = (care: readonly Period[], code: string, capacity_l: number): Period | undefined =>
  care.find(
    (one) =>
      one.code === code &&
      capacity_l > one.over_capacity_l &&
      (one.up_to_capacity_l === null || capacity_l <= one.up_to_capacity_l),
  );

/** The same line at the stricter pace, where that is one. */
function stricter(period: Period, strict: Period | undefined): Period {
  if (!strict || (strict.every_hours ?? 0) >= (period.every_hours ?? 0)) return period;
  return {
    ...period,
    first_hours: Math.min(strict.first_hours, period.first_hours),
    leeway_hours: Math.min(strict.leeway_hours, period.leeway_hours),
  };
}

/** From when a task counts: the stay's beginning, or a day to come; null where nothing asks for it yet. */
function beginMs(
  task: string,
  rule: string,
  barrel: Begun,
  since_ms: number,
  timezone: string,
): number | null {
  if (task === 'decide') {
    const planned = barrel.contents?.planned_days ?? null;
    return planned === null ? null : since_ms + planned * DAY_HOURS * HOUR_MS;
  }
  if (rule === 'solution.rinse') {
    // Sulphite in the wood is to be rinsed out before the next fill, if one is booked.
    const fill = barrel.next_reservation;
    const isClear = barrel.sulphite === null || barrel.sulphite.is_clear;
    return fill === null || isClear ? null : instantIn(timezone, fill.starts_on, '00:00');
  }
  return since_ms;
}

type Begun = Pick<
  Barrel,
  'state' | 'state_since' | 'capacity_l' | 'contents' | 'next_reservation' | 'sulphite'
>;
type Ruled = Pick<Club, 'care' | 'strict_water' | 'timezone'>;

/** The first care of a state that began at an instant, soonest first. */
export function firstCare(
  barrel: Begun,
  is_solution: boolean,
  club: Ruled,
  temp_c: number | null,
): CareLine[] {
  const since_ms = Date.parse(barrel.state_since ?? '');
  if (!Number.isFinite(since_ms)) return [];
  const isStrict = club.strict_water || (temp_c !== null && temp_c > WARM_C);
  const lines = Object.entries(tasksIn(barrel.state, is_solution)).flatMap(([task, { rule }]) => {
    const usual = periodOf(club.care, rule, barrel.capacity_l);
    if (!usual) return [];
    const period =
      task === 'water_change' && rule === 'hold.water' && isStrict
        ? stricter(usual, periodOf(club.care, 'hold.water.strict', barrel.capacity_l))
        : usual;
    const begins_ms = beginMs(task, rule, barrel, since_ms, club.timezone);
    if (begins_ms === null) return [];
    const due_ms = begins_ms + period.first_hours * HOUR_MS;
    // A curing that takes long is warned of first, and late when it is to be given up.
    const stop = task === 'curing_end' ? periodOf(club.care, 'cure.stop', barrel.capacity_l) : undefined;
    const late_ms = stop ? since_ms + stop.first_hours * HOUR_MS : due_ms + period.leeway_hours * HOUR_MS;
    return [
      {
        task,
        last_at: null,
        due_at: new Date(due_ms).toISOString(),
        late_at: new Date(late_ms).toISOString(),
      },
    ];
  });
  return lines.sort((a, b) => a.due_at.localeCompare(b.due_at) || a.task.localeCompare(b.task));
}

/** Gives a barrel the care of a state that began on this phone; of one that is away nothing can be asked. */
export function withFirstCare(
  barrel: Barrel,
  entries: readonly OutboxEntry[],
  club: Ruled | null,
  places: readonly Pick<Place, 'id' | 'temp_c'>[],
): Barrel {
  const turn = turnOf(barrel, entries);
  const isAway = barrel.loan !== null || barrel.troubles.some((trouble) => trouble.kind === 'missing');
  if (!turn || !club || isAway) return barrel;
  const temp_c = places.find((place) => place.id === barrel.place)?.temp_c ?? null;
  const is_solution = turn.collection === 'holds' && turn.body.is_solution === true;
  return { ...barrel, care: firstCare(barrel, is_solution, club, temp_c) };
}
