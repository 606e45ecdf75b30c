/** Where a hold's water stands now and when it wants more, worked out on the phone from what was last known of it. */

import type { Barrel, Place } from '~/api/types.ts';
import { isPlaced, isReturned } from '~/outbox/line.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import { dipAtVolumeCm, volumeAtDipL } from '~/science/geometry.ts';
import { halfMarkCm, topUpDue, usualStaveMm, waterLevelNow } from '~/science/holding.ts';
import { celsius, centimetres, days, fraction, litres, millimetres, squareMetres } from '~/science/units.ts';
import { insideShape } from '../parts/inside-shape.ts';
import { insideNow } from '../words/barrel.ts';

export interface HoldNow {
  low_l: number;
  high_l: number;
  low_mm: number;
  high_mm: number;
  half_mm: number;
  half_l: number;
  /** Days until it may want water, and until it probably does. */
  earliest_days: number;
  middle_days: number;
  needs_top_up: boolean;
}

const DAY_MS = 86_400_000;
type Body = Record<string, unknown>;
const numberOf = (value: unknown): number | null => (typeof value === 'number' ? value : null);

interface Known {
  at_ms: number;
  volume_l: number;
}

/** What a rod says is in it; null for a depth that this barrel does not have. */
function dippedL(barrel: Barrel, dip_mm: number | null): number | null {
  const shape = insideShape(barrel);
  const dip_cm = (dip_mm ?? -1) / 10;
  if (dip_cm < 0 || dip_cm > shape.bilge_diameter_cm) return null;
  return volumeAtDipL(shape, centimetres(dip_cm));
}

/** Every moment at which the level was known or raised, oldest first: the hold itself, changes, top-ups, dips. */
function entriesOf(
  barrel: Barrel,
  log: readonly LogLine[],
): { at_ms: number; known_l?: number; added_l?: number }[] {
  const { contents } = barrel;
  if (!contents) return [];
  const rows: { at_ms: number; known_l?: number; added_l?: number }[] = [
    { at_ms: Date.parse(contents.started_at), known_l: contents.start_volume_l },
  ];
  for (const line of log) {
    if (line.stay !== contents.stay || !isPlaced(line) || !line.body || isReturned(line)) continue;
    const body = line.body as Body;
    const at_ms = Date.parse(line.happened_at);
    const tasks = Array.isArray(body.tasks) ? (body.tasks as string[]) : [];
    const volume_l = numberOf(body.volume_l);
    if (tasks.includes('water_change')) rows.push({ at_ms, known_l: volume_l ?? contents.start_volume_l });
    else if (tasks.includes('top_up') && volume_l !== null) rows.push({ at_ms, added_l: volume_l });
    else if (line.collection === 'readings' && body.kind === 'dip') {
      const known_l = volume_l ?? dippedL(barrel, numberOf(body.dip_mm));
      if (known_l !== null) rows.push({ at_ms, known_l });
    }
  }
  return rows.sort((a, b) => a.at_ms - b.at_ms);
}

/** Whether every entry of this hold has arrived, so that the club's course has heard of it. */
function isAllSent(barrel: Barrel, log: readonly LogLine[]): boolean {
  return log.every((line) => line.stay !== barrel.contents?.stay || line.here === 'sent' || isReturned(line));
}

/** The level now; null for a barrel that is beyond the model. */
export function holdNow(
  barrel: Barrel,
  log: readonly LogLine[],
  place: Pick<Place, 'temp_c' | 'rh'> | undefined,
  now_ms: number,
): HoldNow | null {
  const shape = insideShape(barrel);
  const capacity_l = litres(barrel.capacity_l);
  try {
    const wood = {
      capacity_l,
      temp_c: celsius(Math.min(45, Math.max(0, place?.temp_c ?? 13))),
      rh_fraction: fraction(place?.rh ?? 0.7),
      area_m2: squareMetres(shape.wood_area_cm2 / 1e4),
      stave_mm: millimetres(barrel.shape.stave_mm ?? usualStaveMm(capacity_l)),
    };
    const after = (known: Known, at_ms: number) =>
      waterLevelNow(
        { ...wood, volume_l: litres(Math.min(known.volume_l, 1.1 * barrel.capacity_l)) },
        days(Math.max(0, (at_ms - known.at_ms) / DAY_MS)),
      );
    let [low, middle, high]: (Known | null)[] = [null, null, null];
    for (const row of entriesOf(barrel, log)) {
      if (row.known_l !== undefined) low = middle = high = { at_ms: row.at_ms, volume_l: row.known_l };
      else if (low && middle && high) {
        const more = row.added_l ?? 0;
        low = { at_ms: row.at_ms, volume_l: after(low, row.at_ms).volume_low_l + more };
        middle = { at_ms: row.at_ms, volume_l: after(middle, row.at_ms).volume_mid_l + more };
        high = { at_ms: row.at_ms, volume_l: after(high, row.at_ms).volume_high_l + more };
      }
    }
    if (!low || !middle || !high) return null;
    // The club's course knows the air measured day by day; the phone's own figure is for what it has not heard of yet.
    const course = isAllSent(barrel, log) ? insideNow(barrel, now_ms)?.volume_l : undefined;
    // What does not go in runs over.
    const inside = (volume_l: number): number => Math.min(volume_l, barrel.capacity_l);
    const low_l = inside(course?.low ?? after(low, now_ms).volume_low_l);
    const middle_l = inside(course?.mid ?? after(middle, now_ms).volume_mid_l);
    const high_l = inside(course?.high ?? after(high, now_ms).volume_high_l);
    const mm = (volume_l: number): number =>
      10 * dipAtVolumeCm(shape, litres(Math.min(volume_l, barrel.capacity_l)));
    const due = (volume_l: number) => topUpDue({ ...wood, volume_l: litres(volume_l) });
    return {
      low_l,
      high_l,
      low_mm: mm(low_l),
      high_mm: mm(high_l),
      half_mm: Math.round(10 * halfMarkCm(shape)),
      half_l: barrel.capacity_l / 2,
      earliest_days: due(low_l).earliest_days,
      middle_days: due(middle_l).middle_days,
      needs_top_up: middle_l < 0.45 * barrel.capacity_l,
    };
  } catch {
    return null;
  }
}
