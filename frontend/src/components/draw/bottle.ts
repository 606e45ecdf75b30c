import { r1 } from './circle.ts';

/**
 * A bottle 26 wide and 64 high: straight sides from the foot up to 31, shoulders that draw in to a neck 8 wide at 15.
 * The shoulder is one Bezier curve, here the right one from the neck down.
 */
const SHOULDER = [
  { x: 17, y: 15 },
  { x: 17, y: 21 },
  { x: 26, y: 23 },
  { x: 26, y: 31 },
] as const;

const CENTRE = 13;

export const BOTTLE_OUTLINE = 'M9 0h8v15c0 6 9 8 9 16v33H0V31c0-8 9-10 9-16z';

interface Point {
  x: number;
  y: number;
}

const mix = (a: Point, b: Point, t: number): Point => ({
  x: a.x + (b.x - a.x) * t,
  y: a.y + (b.y - a.y) * t,
});

/** Cuts the shoulder at t (de Casteljau): the point there and the curve from it down to the straight side. */
function cutShoulder(t: number): [Point, Point, Point, Point] {
  const [p0, p1, p2, p3] = SHOULDER;
  const [a, b, c] = [mix(p0, p1, t), mix(p1, p2, t), mix(p2, p3, t)];
  const [d, e] = [mix(a, b, t), mix(b, c, t)];
  return [mix(d, e, t), e, c, p3];
}

/** Where on the shoulder a height lies; the curve only ever falls, so halving finds it. */
function shoulderAt(y: number): number {
  let [low, high] = [0, 1];
  for (let i = 0; i < 30; i += 1) {
    const middle = (low + high) / 2;
    if (cutShoulder(middle)[0].y < y) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Height of the level in the drawing: empty at the foot, full a little way up the neck. */
export function bottleLevelY(share: number): number {
  return r1(64 - 52 * Math.min(1, Math.max(0, share)));
}

/** Half the bottle's width at a height. */
export function bottleHalfWidth(y: number): number {
  if (y >= 31) return CENTRE;
  if (y <= 15) return 4;
  return cutShoulder(shoulderAt(y))[0].x - CENTRE;
}

/** The liquid up to a height, along the glass. */
export function bottleWet(y: number): string {
  if (y >= 31) return `M0 ${y}H26V64H0Z`;
  const [start, c1, c2, end] = cutShoulder(y <= 15 ? 0 : shoulderAt(y));
  const mirror = ({ x, y: height }: Point): string => `${r1(2 * CENTRE - x)} ${r1(height)}`;
  const plain = ({ x, y: height }: Point): string => `${r1(x)} ${r1(height)}`;
  const top = bottleHalfWidth(y);
  return (
    `M${r1(CENTRE - top)} ${y}H${r1(CENTRE + top)}L${plain(start)}C${plain(c1)} ${plain(c2)} ${plain(end)}V64H0V31` +
    `C${mirror(c2)} ${mirror(c1)} ${mirror(start)}Z`
  );
}
