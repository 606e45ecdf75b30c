import { polar, r1, ringPiece } from './circle.ts';
import { randomFrom } from './seed.ts';

export interface Stave {
  from: number;
  to: number;
  /** Which of three tones of oak. */
  tone: 0 | 1 | 2;
  /** How unevenly its inside is worn, about 0. */
  wear: number;
}

/**
 * The staves of a barrel as its tag's code lays them: uneven widths, the bung stave the widest and centred on the bung.
 * Angles are degrees clockwise from the top with the bung up.
 */
export function staveRing(tag: string, count?: number): Stave[] {
  const random = randomFrom(tag);
  const n = Math.round(Math.min(40, Math.max(10, count ?? 15 + Math.floor(random() * 6))));
  const widths = [1.5, ...Array.from({ length: n - 1 }, () => 0.72 + random() * 0.6)];
  const whole = widths.reduce((sum, width) => sum + width, 0);
  const staves: Stave[] = [];
  let angle = -(widths[0]! / whole) * 180;
  let lastTone = -1;
  for (const width of widths) {
    const to = angle + (width / whole) * 360;
    // Neighbours differ, or the joint between them would be all that tells them apart.
    let tone = Math.floor(random() * 3);
    if (tone === lastTone) tone = (tone + 1) % 3;
    lastTone = tone;
    staves.push({ from: angle, to, tone: tone as 0 | 1 | 2, wear: random() - 0.5 });
    angle = to;
  }
  return staves;
}

/** All staves of one tone as one path. */
export function woodPath(staves: Stave[], tone: number, inner: number, outer: number, turn: number): string {
  return staves
    .filter((stave) => stave.tone === tone)
    .map((stave) => ringPiece(inner, outer, stave.from + turn, stave.to + turn))
    .join('');
}

/** The worn layer inside every stave, measured through the thickness from the hollow outwards. */
export function wornPath(
  staves: Stave[],
  inner: number,
  thickness: number,
  used: number,
  turn: number,
): string {
  if (used <= 0) return '';
  return staves
    .map((stave) => {
      const depth = thickness * Math.min(1, used >= 1 ? 1 : used * (1 + 0.1 * stave.wear));
      return ringPiece(inner, inner + depth, stave.from + turn, stave.to + turn);
    })
    .join('');
}

/** The joints between the staves. */
export function jointPath(staves: Stave[], inner: number, outer: number, turn: number): string {
  return staves
    .map((stave) => {
      const a = polar(stave.from + turn, inner);
      const b = polar(stave.from + turn, outer);
      return `M${r1(a.x)} ${r1(a.y)}L${r1(b.x)} ${r1(b.y)}`;
    })
    .join('');
}

/** End grain: short strokes across every stave, a little out of true. */
export function grainPath(tag: string, staves: Stave[], inner: number, outer: number, turn: number): string {
  const random = randomFrom(`${tag}/grain`);
  let path = '';
  for (const stave of staves) {
    const arc = ((stave.to - stave.from) * Math.PI * inner) / 180;
    const strokes = Math.max(2, Math.round(arc / 2.7));
    for (let i = 1; i < strokes; i += 1) {
      const angle = stave.from + ((stave.to - stave.from) * (i + (random() - 0.5) * 0.35)) / strokes + turn;
      const lean = (random() - 0.5) * 0.5;
      const a = polar(angle, inner + (outer - inner) * 0.05);
      const b = polar(angle + lean, outer - (outer - inner) * 0.05);
      path += `M${r1(a.x)} ${r1(a.y)}L${r1(b.x)} ${r1(b.y)}`;
    }
  }
  return path;
}
