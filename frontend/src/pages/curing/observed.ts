/**
 * What the log of a curing says: stretches between top-ups, wiped joints, and the judgement that follows. The server
 * reads the same log by the same rule (`selectors/curings.py`): a stretch runs from one moment at which the water stood
 * at its mark to the next; filling up and changing the water set a new mark; below nine tenths of the capacity there is
 * no mark yet, since half of the staves are dry.
 */

import type { Barrel, Joint, Place } from '~/api/types.ts';
import { isPlaced, isReturned } from '~/outbox/line.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import {
  CURING_DRY_JOINT_HOURS,
  expectedDrink,
  type Tightness,
  type TopUpInterval,
  tightness,
} from '~/science/curing.ts';
import { usualStaveMm } from '~/science/holding.ts';
import {
  celsius,
  fraction,
  hours,
  litres,
  millilitres,
  millimetres,
  squareDecimetres,
  squareMetres,
} from '~/science/units.ts';
import { insideShape } from '../parts/inside-shape.ts';

export interface Stretch {
  from_h: number;
  to_h: number;
  volume_ml: number;
}

export interface JointSeen extends Joint {
  /** When it was last wiped, beaded or found dry. */
  at_ms: number;
  /** For how long it is known to have stayed dry. */
  dry_h: number;
}

export interface Observed {
  started_ms: number;
  water_l: number;
  /** Whether the water ever stood at the bung; before that nothing is measured. */
  is_full: boolean;
  /** When it stood at its mark last. */
  mark_ms: number;
  stretches: Stretch[];
  joints: JointSeen[];
  dry_joint_h: number;
  reading_u_ml: number;
  changed_ms: number;
}

const HOUR_MS = 3_600_000;
const FULL_FRACTION = 0.9;
const SAME_LOOK_H = 1 / 60;
const DEFAULT_READING_U_ML = 5;

type Body = Record<string, unknown>;

/** A volume as it was sent. Text with a unit of its own is read by the server only. */
const volumeOf = (body: Body): number | null => (typeof body.volume_l === 'number' ? body.volume_l : null);

function counts(line: LogLine, stay: string): boolean {
  return line.stay === stay && isPlaced(line) && !isReturned(line);
}

/** Reads a barrel's log, newest first as screens have it, of the curing that is going on; null where there is none. */
export function curingObserved(
  barrel: Pick<Barrel, 'contents' | 'capacity_l'>,
  log: readonly LogLine[],
): Observed | null {
  const { contents } = barrel;
  if (contents?.kind !== 'curing') return null;
  const started_ms = Date.parse(contents.started_at);
  const seen: Observed = {
    started_ms,
    water_l: contents.start_volume_l,
    is_full: contents.start_volume_l >= FULL_FRACTION * barrel.capacity_l,
    stretches: [],
    joints: [],
    dry_joint_h: 0,
    reading_u_ml: DEFAULT_READING_U_ML,
    changed_ms: started_ms,
    mark_ms: started_ms,
  };
  const tendings = log
    .filter((line) => line.collection === 'tendings' && line.body && counts(line, contents.stay))
    .sort((a, b) => Date.parse(a.happened_at) - Date.parse(b.happened_at) || a.id.localeCompare(b.id));
  let mark_h: number | null = seen.is_full ? 0 : null;
  const wiped = new Map<string, number>();
  const joints = new Map<string, JointSeen>();
  for (const line of tendings) {
    const body = line.body as Body;
    const at_ms = Date.parse(line.happened_at);
    const at_h = (at_ms - started_ms) / HOUR_MS;
    const tasks = Array.isArray(body.tasks) ? (body.tasks as string[]) : [];
    const volume_l = volumeOf(body);
    if (tasks.includes('water_change')) seen.changed_ms = at_ms;
    if (tasks.includes('water_change') || (tasks.includes('top_up') && body.is_filling_up === true)) {
      mark_h = at_h;
      seen.mark_ms = at_ms;
      seen.is_full = true;
    } else if (tasks.includes('top_up') && volume_l !== null && mark_h !== null) {
      seen.reading_u_ml =
        typeof body.reading_u_ml === 'number'
          ? body.reading_u_ml || DEFAULT_READING_U_ML
          : DEFAULT_READING_U_ML;
      const last = seen.stretches.at(-1);
      if (at_h - mark_h > SAME_LOOK_H) {
        seen.stretches.push({ from_h: mark_h, to_h: at_h, volume_ml: 1000 * volume_l });
        mark_h = at_h;
        seen.mark_ms = at_ms;
      } else if (last) last.volume_ml += 1000 * volume_l;
    }
    for (const joint of Array.isArray(body.joints) ? (body.joints as Joint[]) : []) {
      const key = `${joint.part} ${joint.clock ?? 0}`;
      const since = wiped.get(key);
      if (joint.state !== 'dry') wiped.set(key, at_h);
      const dry_h = joint.state === 'dry' && since !== undefined ? at_h - since : 0;
      joints.set(key, { ...joint, at_ms, dry_h });
    }
  }
  seen.joints = [...joints.values()];
  const known = seen.joints.filter((joint) => wiped.has(`${joint.part} ${joint.clock ?? 0}`));
  seen.dry_joint_h = known.length > 0 ? Math.min(...known.map((joint) => joint.dry_h)) : 0;
  return seen;
}

export interface Judged {
  observed: Observed;
  tightness: Tightness | null;
  /** The leak figure that counts as tight, for this barrel [mL a day]. */
  tight_ml_per_day: number;
  /** What left a day in each stretch [mL]. */
  per_day_ml: number[];
}

/** Judges the curing; null where none is going on. A barrel beyond the model gets its stretches without a judgement. */
export function curingJudged(
  barrel: Barrel,
  log: readonly LogLine[],
  place: Pick<Place, 'temp_c' | 'rh'> | undefined,
): Judged | null {
  const observed = curingObserved(barrel, log);
  if (!observed) return null;
  const shape = insideShape(barrel);
  const area_dm2 = shape.wood_area_cm2 / 100;
  const per_day_ml = observed.stretches.map((one) => (24 * one.volume_ml) / (one.to_h - one.from_h));
  const judged: Judged = { observed, tightness: null, tight_ml_per_day: area_dm2, per_day_ml };
  if (observed.stretches.length === 0) return judged;
  try {
    const stave_mm = millimetres(barrel.shape.stave_mm ?? usualStaveMm(litres(barrel.capacity_l)));
    const temp_c = celsius(Math.min(45, Math.max(0, place?.temp_c ?? 13)));
    const rh = fraction(place?.rh ?? 0.7);
    const state = barrel.register.adopted ? 'stored_dry' : 'dry';
    const intervals: TopUpInterval[] = observed.stretches.map((one) => {
      const drunk = expectedDrink(
        hours(one.from_h),
        hours(one.to_h),
        temp_c,
        rh,
        squareMetres(area_dm2 / 100),
        stave_mm,
        state,
      );
      return {
        from_h: hours(one.from_h),
        to_h: hours(one.to_h),
        topped_up_ml: millilitres(one.volume_ml),
        expected_ml: drunk.total_ml,
        expected_u_ml: drunk.u_ml,
      };
    });
    judged.tightness = tightness(intervals, squareDecimetres(area_dm2), hours(observed.dry_joint_h), {
      reading_u_ml: millilitres(observed.reading_u_ml),
      capacity_l: litres(barrel.capacity_l),
    });
  } catch {
    // A barrel smaller or larger than the model knows: whoever stands there decides without it.
  }
  return judged;
}

export { CURING_DRY_JOINT_HOURS };
