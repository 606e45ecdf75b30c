import { r1 } from './circle.ts';

/** A stave lying flat: a bar whose sides bow outwards. Kept apart from the page so that it can be cut anywhere. */
export interface StaveShape {
  width: number;
  height: number;
}

interface Sides {
  top: number;
  bow: number;
}

function sides({ height }: StaveShape): Sides {
  return { top: height * 0.25, bow: height * 0.165 };
}

/** Height of the upper side, or of the control point between two cuts (the quadratic's blossom). */
function upper(shape: StaveShape, a: number, b: number): number {
  const { top, bow } = sides(shape);
  const control = top - bow;
  return (1 - a) * (1 - b) * top + (a * (1 - b) + b * (1 - a)) * control + a * b * top;
}

/** The outline between two shares of its length, 0 to 1; `part` keeps the lower half only. */
export function stavePiece(
  shape: StaveShape,
  from: number,
  to: number,
  part: 'whole' | 'lower' = 'whole',
): string {
  const x = (t: number): number => r1(shape.width * t);
  const middle = x((from + to) / 2);
  const y = (a: number, b: number): number => r1(upper(shape, a, b));
  const low = (a: number, b: number): number => r1(shape.height - upper(shape, a, b));
  const roof =
    part === 'lower'
      ? `M${x(from)} ${r1(shape.height / 2)}H${x(to)}`
      : `M${x(from)} ${y(from, from)}Q${middle} ${y(from, to)} ${x(to)} ${y(to, to)}`;
  return `${roof}V${low(to, to)}Q${middle} ${low(from, to)} ${x(from)} ${low(from, from)}Z`;
}

/** How the joints of a list bow: up at its head, down at its foot, -1 to 1. */
export function bendOf(index: number, rows: number): number {
  if (rows <= 0) return 0;
  return 1 - (2 * index) / rows;
}
