import { describe, expect, test } from 'vitest';
import { discBelow, discBetween, halfChord, ringBelow } from '~/components/draw/circle.ts';
import {
  type BarrelPicture,
  describeBarrel,
  levelHeights,
  radiusFor,
  staveThickness,
} from '~/components/draw/picture.ts';
import { bendOf, stavePiece } from '~/components/draw/stave-shape.ts';
import { jointPath, staveRing, wornPath } from '~/components/draw/staves.ts';

const neap: BarrelPicture = {
  name: 'Neap',
  tag: 'NEAP2',
  capacityL: 2,
  contents: 'water',
  hold: true,
  levelLow: 0.437,
  levelHigh: 0.463,
  volumeLowL: 0.83,
  volumeHighL: 0.9,
  bungClock: 8,
};

describe('the height of a level', () => {
  test.each([
    [0, 100],
    [0.25, 50],
    [0.31, 38],
    [0.5, 0],
    [0.69, -38],
    [1, -100],
  ])('a depth of %f of the bung diameter is drawn at %f of a radius of 100', (level, y) => {
    const heights = levelHeights({ ...neap, levelLow: level, levelHigh: level }, 100);

    expect(heights?.line).toBeCloseTo(y, 9);
  });

  test('both ends of a range are drawn, and the line midway', () => {
    const heights = levelHeights({ ...neap, levelLow: 0.7, levelHigh: 0.8 }, 100);

    expect(heights?.lower).toBeCloseTo(-40, 9);
    expect(heights?.line).toBeCloseTo(-50, 9);
    expect(heights?.upper).toBeCloseTo(-60, 9);
  });

  test('a level outside the barrel is drawn at its wall', () => {
    const heights = levelHeights({ ...neap, levelLow: -0.1, levelHigh: 1.2 }, 100);

    expect(heights?.lower).toBe(100);
    expect(heights?.upper).toBe(-100);
  });

  test('an empty barrel has no level', () => {
    expect(levelHeights({ ...neap, contents: 'empty' }, 100)).toBeUndefined();
  });
});

/** The area a path of straight lines and arcs encloses, by walking along it in small steps. */
function areaOf(path: string): number {
  const points: [number, number][] = [];
  let [x, y] = [0, 0];
  for (const [, letter, rest] of path.matchAll(/([MLHVAZ])([^MLHVAZ]*)/g)) {
    const n = rest!
      .trim()
      .split(/[\s,]+/)
      .filter(Boolean)
      .map(Number);
    if (letter === 'H') x = n[0]!;
    else if (letter === 'V') y = n[0]!;
    else if (letter === 'M' || letter === 'L') [x, y] = [n[0]!, n[1]!];
    else if (letter === 'A') {
      // All arcs are parts of circles about the origin.
      const [radius, , , large, sweep, endX, endY] = n as [
        number,
        number,
        number,
        number,
        number,
        number,
        number,
      ];
      const from = Math.atan2(y, x);
      let turn = Math.atan2(endY, endX) - from;
      if (sweep === 1 && turn < 0) turn += 2 * Math.PI;
      if (sweep === 0 && turn > 0) turn -= 2 * Math.PI;
      expect(Math.abs(turn) > Math.PI).toBe(large === 1);
      for (let i = 1; i <= 400; i += 1) {
        const angle = from + (turn * i) / 400;
        points.push([radius * Math.cos(angle), radius * Math.sin(angle)]);
      }
      [x, y] = [endX, endY];
      continue;
    }
    if (letter !== 'Z') points.push([x, y]);
  }
  let twice = 0;
  points.forEach(([ax, ay], i) => {
    const [bx, by] = points[(i + 1) % points.length]!;
    twice += ax * by - bx * ay;
  });
  return Math.abs(twice) / 2;
}

/** Area of a circular segment of height h: r2 acos((r - h) / r) - (r - h) sqrt(2rh - h2). Geometry, from memory. */
function segment(radius: number, height: number): number {
  return (
    radius ** 2 * Math.acos((radius - height) / radius) -
    (radius - height) * Math.sqrt(2 * radius * height - height ** 2)
  );
}

describe('the liquid drawn', () => {
  test.each([0.1, 0.31, 0.49, 0.51, 0.75, 0.95])('at a depth of %f is the segment of the circle', (level) => {
    const area = areaOf(discBelow(100, 100 * (1 - 2 * level)));

    expect(area / segment(100, 200 * level)).toBeCloseTo(1, 2);
  });

  test('between two levels is the difference of their segments', () => {
    const area = areaOf(discBetween(100, -60, -40));

    expect(area / (segment(100, 160) - segment(100, 140))).toBeCloseTo(1, 2);
  });

  test.each([-50, 30])('the soaked wood below %i is the ring less its hollow', (y) => {
    const outer = segment(120, 120 - y);
    const inner = segment(100, 100 - y);

    expect(areaOf(ringBelow(100, 120, y)) / (outer - inner)).toBeCloseTo(1, 2);
  });

  test('nothing is drawn below an empty level, and the line has no width at the wall', () => {
    expect(discBelow(100, 100)).toBe('');
    expect(discBetween(100, 20, 20)).toBe('');
    expect(halfChord(100, 100)).toBe(0);
  });
});

describe('the staves', () => {
  test('go once round, the bung stave centred on the bung and the widest', () => {
    const staves = staveRing('SLKW5');
    const widths = staves.map((stave) => stave.to - stave.from);

    expect(widths.reduce((a, b) => a + b, 0)).toBeCloseTo(360, 9);
    expect(staves[0]!.from).toBeCloseTo(-staves[0]!.to, 9);
    expect(Math.max(...widths)).toBe(widths[0]);
    expect(staves.length).toBeGreaterThanOrEqual(15);
    expect(staves.length).toBeLessThanOrEqual(20);
  });

  test('are the same for one tag and others for another', () => {
    expect(staveRing('SLKW5')).toEqual(staveRing('SLKW5'));
    expect(staveRing('SLKW5')).not.toEqual(staveRing('NEAP2'));
  });

  test('are as many as the register says', () => {
    expect(staveRing('SLKW5', 24)).toHaveLength(24);
  });

  test('turn with the bung', () => {
    const staves = staveRing('SLKW5');

    expect(jointPath(staves, 100, 120, 120)).not.toBe(jointPath(staves, 100, 120, 0));
  });

  test('show no worn layer when nothing is used, and are hollow all through when spent', () => {
    const staves = staveRing('SLKW5');

    expect(wornPath(staves, 100, 20, 0, 0)).toBe('');
    expect(wornPath(staves, 100, 20, 1, 0)).toContain('A120 120');
  });

  test('are a tenth of the bung diameter thick where the register is silent', () => {
    expect(staveThickness(neap, 100)).toBe(20);
    expect(staveThickness({ ...neap, staveFraction: 0.08 }, 100)).toBeCloseTo(16, 9);
  });
});

describe('the sentence read aloud', () => {
  test('says name, position, contents, half mark', () => {
    expect(describeBarrel(neap)).toBe(
      'Neap, lying with the bung at 8 o’clock, 0.83 to 0.90 of 2 litres of water, below the half mark.',
    );
  });

  test('says what is wrong before the wood that is left', () => {
    const barrel: BarrelPicture = {
      name: 'Slack Water',
      tag: 'SLKW5',
      capacityL: 5,
      contents: 'spirit',
      levelLow: 0.75,
      levelHigh: 0.78,
      volumeLowL: 4.1,
      volumeHighL: 4.3,
      woodWords: 'wood for one to three more fills',
      wrong: 'a leak at the head',
      beads: [{ at: 200, mlPerDay: 12 }],
    };

    expect(describeBarrel(barrel)).toBe(
      'Slack Water, lying bung up, 4.1 to 4.3 of 5 litres, a leak at the head, beads at one joint, wood for one to three more fills.',
    );
  });

  test('says that a barrel is empty', () => {
    expect(describeBarrel({ name: 'Ebb', tag: 'EBB', capacityL: 5, contents: 'empty' })).toBe(
      'Ebb, lying bung up, empty.',
    );
  });
});

describe('one scale for a list', () => {
  test('eight times the litres is twice the radius, within its bounds', () => {
    expect(radiusFor(8) / radiusFor(1)).toBeCloseTo(2, 1);
    expect(radiusFor(5)).toBe(33);
    expect(radiusFor(500)).toBe(60);
  });

  test('the joints bow up at the head and down at the foot', () => {
    expect([0, 1, 2, 3, 4].map((i) => bendOf(i, 4))).toEqual([1, 0.5, 0, -0.5, -1]);
  });

  test('a stave is cut without a gap', () => {
    const shape = { width: 1000, height: 36 };
    const left = stavePiece(shape, 0, 0.3);
    const right = stavePiece(shape, 0.3, 1);
    const seam = /300 (\d+(?:\.\d)?)/.exec(left)?.[1];

    expect(right.startsWith(`M300 ${seam}`)).toBe(true);
  });
});
