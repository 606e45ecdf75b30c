import './style.css';
import { r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';

export interface CurvePoint {
  id: string;
  /** Weeks since the fill, from nought. */
  week: number;
  /** 0 to 10. */
  liking: number;
  initials: string;
  you?: boolean;
}

export interface PullCurveProps {
  points: CurvePoint[];
  /** Where there are too few scores, no curve is drawn. */
  curve: { weeks: number[]; mean: number[]; low: number[]; high: number[] } | null;
  /** Weeks since the fill. */
  now: number;
  /** The best weeks, whole and counted from one. */
  best: { first: number; last: number };
  label: string;
}

const WIDTH = 350;
const TOP = 14;
const FOOT = 128;
const HEIGHT = 156;
/** Initials nearer than this would cover each other. */
const LETTER = 12;

/** Liking by week: what tasters gave, the curve with its band, and the best weeks as a plank on the axis. */
export function PullCurve({ points, curve, now, best, label }: PullCurveProps) {
  const last = Math.max(now + 1, best.last + 0.5, curve?.weeks.at(-1) ?? 0, ...points.map((one) => one.week));
  const { low, high } = scaleOf(points, curve);
  const x = (week: number): number => r1((WIDTH * Math.min(week, last)) / last);
  const y = (liking: number): number =>
    r1(FOOT - ((FOOT - TOP) * (Math.min(high, Math.max(low, liking)) - low)) / (high - low));
  const [from, to] = [x(best.first - 1), x(Math.min(best.last, last))];
  return (
    <svg class="pull-curve" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} focusable="false" {...asPicture(label)}>
      {curve && <Course curve={curve} now={now} x={x} y={y} />}
      <path d={`M0 ${FOOT}H${from}M${to} ${FOOT}H${WIDTH}`} class="pull-curve__axis" />
      <path
        d={`M${from} ${FOOT - 3}Q${(from + to) / 2} ${FOOT - 7} ${to} ${FOOT - 3}V${FOOT + 3}Q${(from + to) / 2} ${FOOT + 7} ${from} ${FOOT + 3}Z`}
        class="pull-curve__best"
      />
      <path d={`M${x(now)} 0V${FOOT}`} class="pull-curve__now" />
      <text x="0" y="11" class="pull-curve__word">
        liked more
      </text>
      {placed(points, x, y).map((point) => (
        <text
          key={point.id}
          x={point.x}
          y={point.y}
          class={point.you ? 'pull-curve__point pull-curve__point--you' : 'pull-curve__point'}
        >
          {point.initials}
        </text>
      ))}
      {axisWords(best, now, last).map((mark) => (
        <text
          key={mark.text}
          x={Math.min(WIDTH - 4, Math.max(4, x(mark.at)))}
          y={HEIGHT - 8}
          class={mark.now ? 'pull-curve__word pull-curve__word--now' : 'pull-curve__word'}
          text-anchor={x(mark.at) < 30 ? 'start' : x(mark.at) > WIDTH - 30 ? 'end' : 'middle'}
        >
          {mark.text}
        </text>
      ))}
    </svg>
  );
}

type Scale = (value: number) => number;

function Course({
  curve,
  now,
  x,
  y,
}: {
  curve: NonNullable<PullCurveProps['curve']>;
  now: number;
  x: Scale;
  y: Scale;
}) {
  const { weeks, mean, low, high } = curve;
  const over = weeks.map((week, at) => `${at === 0 ? 'M' : 'L'}${x(week)} ${y(high[at] ?? 0)}`).join('');
  const middle = withKnotAt(now, weeks, mean);
  const part = (keep: (week: number) => boolean): string =>
    middle
      .filter(({ week }) => keep(week))
      .map(({ week, value }, at) => `${at === 0 ? 'M' : 'L'}${x(week)} ${y(value)}`)
      .join('');
  const back = weeks
    .map((week, at) => `L${x(week)} ${y(low[at] ?? 0)}`)
    .reverse()
    .join('');
  return (
    <>
      <path d={`${over}${back}Z`} class="pull-curve__band" />
      <path d={part((week) => week <= now)} class="pull-curve__line" />
      <path d={part((week) => week >= now)} class="pull-curve__line pull-curve__line--ahead" />
    </>
  );
}

/** The curve with a knot of its own at this week, where the solid line meets the dashed one. */
function withKnotAt(now: number, weeks: number[], values: number[]): { week: number; value: number }[] {
  const knots = weeks.map((week, at) => ({ week, value: values[at] ?? 0 }));
  const after = knots.findIndex(({ week }) => week > now);
  if (after <= 0 || knots[after - 1]!.week === now) return knots;
  const [a, b] = [knots[after - 1]!, knots[after]!];
  const value = a.value + ((b.value - a.value) * (now - a.week)) / (b.week - a.week);
  return [...knots.slice(0, after), { week: now, value }, ...knots.slice(after)];
}

/** The part of the scale that scores and curve use, a little wider; a band that is wider still is cut there. */
function scaleOf(points: CurvePoint[], curve: PullCurveProps['curve']): { low: number; high: number } {
  const values = [...points.map((one) => one.liking), ...(curve?.mean ?? [])];
  if (values.length === 0) return { low: 0, high: 10 };
  const low = Math.max(0, Math.floor(Math.min(...values) - 1));
  const high = Math.min(10, Math.ceil(Math.max(...values) + 1));
  return high - low < 2 ? { low: Math.max(0, high - 2), high: Math.max(2, high) } : { low, high };
}

/** Initials at their scores; one that would cover another steps aside, downwards. */
function placed(points: CurvePoint[], x: Scale, y: Scale): (CurvePoint & { x: number; y: number })[] {
  const set: (CurvePoint & { x: number; y: number })[] = [];
  for (const point of [...points].sort((a, b) => a.week - b.week || b.liking - a.liking)) {
    const at = { x: Math.min(WIDTH - 8, Math.max(8, x(point.week))), y: y(point.liking) + 4.5 };
    while (set.some((one) => Math.abs(one.x - at.x) < LETTER && Math.abs(one.y - at.y) < LETTER))
      at.y += LETTER;
    set.push({ ...point, ...at, y: Math.min(at.y, FOOT - 6) });
  }
  return set;
}

interface AxisWord {
  at: number;
  text: string;
  now?: boolean;
}

/** Three numbers at most: the ends of the best weeks, and this week where it does not crowd them. */
function axisWords(best: PullCurveProps['best'], now: number, last: number): AxisWord[] {
  const near = last * 0.14;
  const isShort = best.last - best.first < near * 1.4;
  const weeks = best.first === best.last ? `week ${best.first}` : `weeks ${best.first} to ${best.last}`;
  const ends: AxisWord[] = isShort
    ? [{ at: (best.first + best.last - 1) / 2, text: weeks }]
    : [
        { at: best.first - 0.5, text: `week ${best.first}` },
        { at: Math.min(best.last - 0.5, last), text: `week ${best.last}` },
      ];
  const here = { at: now, text: `now, week ${Math.floor(now) + 1}`, now: true };
  const room = near * (isShort ? 2.4 : 1.9);
  return ends.every((end) => Math.abs(end.at - now) > room) ? [...ends, here] : ends;
}
