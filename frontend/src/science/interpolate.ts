/** Reads a forecast that the server computed at a moment between its knots. */

export interface Band {
  low: number;
  mid: number;
  high: number;
}

/** Rows of [low, mid, high], the first at `from`, one every `step_days`. */
export interface Knots {
  from: string;
  step_days: number;
  volume_l: readonly (readonly number[])[];
  abv_pct: readonly (readonly number[] | null)[] | null;
  level: readonly (readonly number[])[];
}

export interface Now {
  volume_l: Band;
  abv_pct: Band | null;
  level: Band;
  /** True when the moment lies outside the forecast: the nearest knot is shown, and the screen says so. */
  beyond: boolean;
}

const DAY_MS = 86_400_000;

function bandAt(rows: readonly (readonly number[] | null)[], place: number): Band | null {
  const before = rows[Math.floor(place)];
  const after = rows[Math.ceil(place)];
  if (!before || !after) return null;
  const share = place - Math.floor(place);
  const between = (i: number): number => {
    const [a, b] = [before[i] ?? Number.NaN, after[i] ?? Number.NaN];
    return a + (b - a) * share;
  };
  return { low: between(0), mid: between(1), high: between(2) };
}

/** Interpolates linearly between two knots; null when the forecast holds none. */
export function nearAt(near: Knots | null | undefined, at_ms: number): Now | null {
  if (!near || near.volume_l.length === 0) return null;
  if (!(near.step_days > 0)) throw new RangeError(`step_days: ${near.step_days} is not above 0`);
  const last = near.volume_l.length - 1;
  const place = (at_ms - Date.parse(near.from)) / (near.step_days * DAY_MS);
  if (!Number.isFinite(place)) throw new RangeError(`from: ${near.from} is not an instant`);
  const inside = Math.min(last, Math.max(0, place));
  const volume_l = bandAt(near.volume_l, inside);
  const level = bandAt(near.level, inside);
  if (!volume_l || !level) return null;
  const abv_pct = near.abv_pct ? bandAt(near.abv_pct, inside) : null;
  return { volume_l, abv_pct, level, beyond: inside !== place };
}
