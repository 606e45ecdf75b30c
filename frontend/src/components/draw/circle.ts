/**
 * Circles, rings and their segments as path data. The centre is (0, 0), y grows downwards, angles are degrees
 * clockwise from the top.
 */

/** Rounds to a tenth: more would only make the page heavier. */
export const r1 = (value: number): number => {
  const rounded = Math.round(value * 10) / 10;
  return rounded === 0 ? 0 : rounded;
};

/** The point at an angle and distance from the centre. */
export function polar(degrees: number, radius: number): { x: number; y: number } {
  const radians = ((degrees - 90) * Math.PI) / 180;
  return { x: radius * Math.cos(radians), y: radius * Math.sin(radians) };
}

/** The same point, written for a path. */
export function at(degrees: number, radius: number): string {
  const { x, y } = polar(degrees, radius);
  return `${r1(x)} ${r1(y)}`;
}

/** Half the width of the circle at a height. Zero outside the circle. */
export function halfChord(radius: number, y: number): number {
  return Math.sqrt(Math.max(0, radius * radius - y * y));
}

/** The piece of a ring between two radii and two angles. */
export function ringPiece(inner: number, outer: number, from: number, to: number): string {
  const large = to - from > 180 ? 1 : 0;
  return (
    `M${at(from, outer)}A${r1(outer)} ${r1(outer)} 0 ${large} 1 ${at(to, outer)}` +
    `L${at(to, inner)}A${r1(inner)} ${r1(inner)} 0 ${large} 0 ${at(from, inner)}Z`
  );
}

/** The part of a disc below a level. */
export function discBelow(radius: number, y: number): string {
  if (y <= -radius)
    return `M${r1(-radius)} 0a${r1(radius)} ${r1(radius)} 0 1 0 ${r1(2 * radius)} 0a${r1(radius)} ${r1(radius)} 0 1 0 ${r1(-2 * radius)} 0Z`;
  if (y >= radius) return '';
  const half = halfChord(radius, y);
  return `M${r1(-half)} ${r1(y)}A${r1(radius)} ${r1(radius)} 0 ${y < 0 ? 1 : 0} 0 ${r1(half)} ${r1(y)}Z`;
}

/** The part of a disc between two levels, the upper one first. */
export function discBetween(radius: number, upper: number, lower: number): string {
  const top = Math.max(-radius, upper);
  const bottom = Math.min(radius, lower);
  if (bottom <= top) return '';
  const a = halfChord(radius, top);
  const b = halfChord(radius, bottom);
  const arc = `A${r1(radius)} ${r1(radius)} 0 0`;
  return `M${r1(-a)} ${r1(top)}H${r1(a)}${arc} 1 ${r1(b)} ${r1(bottom)}H${r1(-b)}${arc} 1 ${r1(-a)} ${r1(top)}Z`;
}

/** The part of a ring below a level that crosses its hollow. */
export function ringBelow(inner: number, outer: number, y: number): string {
  const a = halfChord(outer, y);
  const b = halfChord(inner, y);
  const large = y < 0 ? 1 : 0;
  return (
    `M${r1(-a)} ${r1(y)}A${r1(outer)} ${r1(outer)} 0 ${large} 0 ${r1(a)} ${r1(y)}` +
    `L${r1(b)} ${r1(y)}A${r1(inner)} ${r1(inner)} 0 ${large} 1 ${r1(-b)} ${r1(y)}Z`
  );
}

/** A drop hanging from a point; the area inside grows with `size` squared. */
export function drop(x: number, y: number, size: number): string {
  const s = size;
  return (
    `M${r1(x)} ${r1(y)}C${r1(x + 0.36 * s)} ${r1(y + 0.75 * s)} ${r1(x + s)} ${r1(y + 1.15 * s)} ${r1(x + s)} ${r1(y + 1.7 * s)}` +
    `A${r1(s)} ${r1(s)} 0 0 1 ${r1(x - s)} ${r1(y + 1.7 * s)}` +
    `C${r1(x - s)} ${r1(y + 1.15 * s)} ${r1(x - 0.36 * s)} ${r1(y + 0.75 * s)} ${r1(x)} ${r1(y)}Z`
  );
}
