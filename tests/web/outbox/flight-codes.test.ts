import { describe, expect, test } from 'vitest';
import { codesFor, laidGlasses, secretChance } from '~/outbox/flight-codes.ts';

const FILLS = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i', 'j'];

describe('the numbers this phone makes', () => {
  test.each(FILLS.map((_, index) => index + 1).slice(1))('%i fills, by chance, keep the rules', (count) => {
    for (let time = 0; time < 60; time += 1) {
      const fills = FILLS.slice(0, count);
      const glasses = laidGlasses(fills, true);
      const codes = glasses.map((glass) => glass.code);
      expect(new Set(codes).size).toBe(codes.length);
      expect(codes.every((code) => /^[1-9]\d\d$/.test(code))).toBe(true);
      expect([...new Set(glasses.map((glass) => glass.fill))].sort()).toEqual(fills);
      expect(glasses).toHaveLength(count + (count >= 4 ? 1 : 0));
      const twin = glasses.find((one) => glasses.filter((glass) => glass.fill === one.fill).length === 2);
      if (!twin) continue;
      const [first, second] = glasses.flatMap((glass, index) => (glass.fill === twin.fill ? [index] : []));
      const apart = second! - first!;
      expect(apart).toBeGreaterThan(1);
      expect(apart).toBeLessThan(glasses.length - 1);
    }
  });
  test('no twin where nobody wants one', () => expect(laidGlasses(FILLS, false)).toHaveLength(10));
  test('each taster begins at another glass and goes round', () => {
    const glasses = laidGlasses(FILLS.slice(0, 3), true);
    const [one, two, three] = glasses.map((glass) => glass.code);
    expect([0, 1, 2, 3].map((taster) => codesFor(glasses, taster))).toEqual([
      [one, two, three],
      [two, three, one],
      [three, one, two],
      [one, two, three],
    ]);
    expect(codesFor([], 2)).toEqual([]);
  });
  test('any fill may be the twin, and any glass the first: nothing is foreseen', () => {
    const twins = new Set<string>();
    const firsts = new Set<string>();
    for (let time = 0; time < 300; time += 1) {
      const glasses = laidGlasses(FILLS.slice(0, 4), true);
      firsts.add(glasses[0]!.fill);
      twins.add(glasses.find((one) => glasses.filter((two) => two.fill === one.fill).length === 2)!.fill);
    }
    expect([twins.size, firsts.size]).toEqual([4, 4]);
  });
  test('chance favours no number: 9000 throws of nine sides; chi-squared beyond 40 (8 degrees) comes once in 300 000 runs', () => {
    const seen = Array.from({ length: 9 }, () => 0);
    for (let time = 0; time < 9000; time += 1) seen[secretChance(9)]! += 1;
    expect(seen.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(40);
  });
});
