import { halfChord, r1 } from './circle.ts';

/** Ripples below a water line: three short waves, each a little lower and further right; `shift` moves them, in half widths. */
export function ripplePath(radius: number, level: number, shift = 0): string[] {
  const rows: string[] = [];
  for (let i = 0; i < 3; i += 1) {
    const y = level + radius * (0.12 + 0.15 * i);
    const half = halfChord(radius, y);
    if (y > radius * 0.82 || half < radius * 0.25) break;
    const wave = half * (0.16 - 0.03 * i);
    const x = half * (shift - 0.36 + 0.2 * i);
    const lift = radius * 0.036;
    rows.push(`M${r1(x)} ${r1(y)}q${r1(wave / 2)} ${r1(-lift)} ${r1(wave)} 0t${r1(wave)} 0t${r1(wave)} 0`);
  }
  return rows;
}

/** Glints below a spirit's line: three strokes, each shorter, at the side that is in sight. */
export function glintPath(radius: number, level: number, side: -1 | 1 = -1): string[] {
  const rows: string[] = [];
  for (let i = 0; i < 3; i += 1) {
    const y = level + radius * (0.08 + 0.075 * i);
    const half = halfChord(radius, y);
    if (y > radius * 0.9 || half < radius * 0.3) break;
    rows.push(`M${r1(side * half * (0.6 - 0.09 * i))} ${r1(y)}h${r1(-side * half * (0.34 - 0.09 * i))}`);
  }
  return rows;
}
