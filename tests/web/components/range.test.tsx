import { render } from '@testing-library/preact';
import { describe, expect, test } from 'vitest';
import { plainNumber, rangeText } from '~/components/range/format.ts';
import { Range } from '~/components/range/index.tsx';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('a range in words', () => {
  test.each([
    [4.1, 4.3, 'L', '4.1 to 4.3 L'],
    [4.1234, 4.2876, 'L', '4.1 to 4.3 L'],
    [0.831, 0.902, 'L', '0.83 to 0.90 L'],
    [31.2, 32.9, '% vol', '31 to 33 % vol'],
    [0.32, 0.53, 'L', '0.3 to 0.5 L'],
    [24.6, 35.2, 'mL', '25 to 35 mL'],
    [92, 138, 'mL', '90 to 140 mL'],
    [103, 221, 'mL', '100 to 200 mL'],
    [7.6, 12.4, '%', '8 to 12 %'],
    [0.5, 0.4, 'L', '0.4 to 0.5 L'],
    [4.3, 4.1, 'L', '4.1 to 4.3 L'],
  ])('%f to %f %s reads "%s"', (low, high, unit, words) => {
    expect(plain(rangeText({ low, high, unit }))).toBe(words);
  });

  test('both ends alike are about one figure', () => {
    expect(plain(rangeText({ low: 4.2, high: 4.2, unit: 'L' }))).toBe('about 4.2 L');
    expect(plain(rangeText({ low: 2.55, high: 2.55, unit: 'L' }))).toMatch(/^about 2\.[56] L$/);
    expect(plain(rangeText({ low: 2.549, high: 2.551, unit: 'L' }))).toMatch(/^about 2\.[56] L$/);
    expect(plain(rangeText({ low: 0, high: 0, unit: 'L' }))).toBe('about 0 L');
  });

  test('figure and unit never part', () => {
    expect(rangeText({ low: 31, high: 33, unit: '% vol' })).toBe('31 to 33\u00a0%\u00a0vol');
  });

  test('a table joins with a dash', () => {
    expect(plain(rangeText({ low: 27.6, high: 28.2, unit: 'L', join: 'dash' }))).toBe('27.6 – 28.2 L');
  });
});

describe('a single figure', () => {
  test.each([
    [5, '5'],
    [5.04, '5.04'],
    [0.831, '0.831'],
    [310, '310'],
    [0, '0'],
    [1.5, '1.5'],
  ])('%f reads "%s"', (value, words) => {
    expect(plainNumber(value)).toBe(words);
  });
});

describe('the voice of a range', () => {
  test('a calculated note says so in words', () => {
    const { container } = render(<Range low={31} high={33} unit="% vol" origin="calculated" />);

    expect(plain(container.textContent ?? '')).toBe('31 to 33 % vol, calculated');
    expect(container.querySelector('.reck')).toBeNull();
  });

  test('a calculated figure takes the reckoned voice and keeps the word for readers', () => {
    const { container } = render(<Range low={4.1} high={4.3} unit="L" origin="calculated" size="figure" />);

    expect(container.querySelector('.reck')).not.toBeNull();
    expect(container.querySelector('.sr')?.textContent).toBe(', calculated');
  });

  test('a measured figure keeps the plain voice', () => {
    const { container } = render(<Range low={5.03} high={5.05} unit="L" origin="measured" size="figure" />);

    expect(container.querySelector('.reck')).toBeNull();
    expect(plain(container.textContent ?? '')).toBe('5.03 to 5.05 L, measured');
  });

  test('a guessed climate is always said aloud and in sight', () => {
    const { container } = render(<Range low={4} high={4.6} unit="L" origin="guessed" size="figure" />);

    expect(container.querySelector('.sr')).toBeNull();
    expect(container.textContent).toContain('climate guessed');
  });
});
