import { expect, test } from 'vitest';
import { bottleHalfWidth, bottleLevelY, bottleWet } from '~/components/draw/bottle.ts';

test('a level stands at its share of the height', () => {
  expect(bottleLevelY(0)).toBe(64);
  expect(bottleLevelY(0.5)).toBe(38);
  expect(bottleLevelY(1)).toBe(12);
  expect(bottleLevelY(7)).toBe(12);
});

test('the bottle narrows steadily from its side to its neck', () => {
  const widths = [40, 31, 27, 23, 19, 15, 12].map(bottleHalfWidth);

  expect(widths[0]).toBe(13);
  expect(widths.at(-1)).toBe(4);
  expect(widths).toEqual([...widths].sort((a, b) => b - a));
});

test('the liquid begins at the level and ends at the foot', () => {
  expect(bottleWet(38)).toBe('M0 38H26V64H0Z');
  expect(bottleWet(12)).toMatch(/^M9 12H17L17 15C/);
  expect(bottleWet(25)).toMatch(/V64H0V31C.*Z$/);
});
