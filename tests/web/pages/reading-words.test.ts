import { describe, expect, test } from 'vitest';
import type { InsideNow } from '~/pages/words/barrel.ts';
import { drinksWords, samplesOf, swallowedOf, tiredPalateWords } from '~/pages/words/evening.ts';
import { changedWords, EMPTY_READING, isFarOff, meaningWords, readOut } from '~/pages/words/reading.ts';
import { saidOf } from '~/pages/words/taste.ts';
import { barrel, logEntry, MEMBER, NEAP } from '../cast.ts';

const NB = '\u00a0';
const inside: InsideNow = {
  volume_l: { low: 4.1, mid: 4.2, high: 4.3 },
  abv_pct: { low: 53, mid: 54, high: 55 },
  level: { low: 0.7, mid: 0.72, high: 0.74 },
};

describe('a reading', () => {
  test('an alcoholmeter is corrected on the phone', () => {
    const { body, figure } = readOut(
      { ...EMPTY_READING, kind: 'alcoholmeter', value: '50', temp: '10' },
      barrel(),
      null,
      inside,
    );
    expect(body).toEqual({ barrel: NEAP, kind: 'alcoholmeter', abv_apparent_pct: 50, temp_c: 10 });
    // OIML R 22, table VIIIa: an apparent 50 % vol at 10 degrees is about 53.9 (glass of soda lime, value from memory).
    expect(figure?.value).toBeCloseTo(53.9, 0);
  });
  test('without its temperature there is nothing to correct', () =>
    expect(
      readOut({ ...EMPTY_READING, kind: 'alcoholmeter', value: '50' }, barrel(), null, inside),
    ).toMatchObject({
      body: null,
      wrong: { temp: 'The correction needs its temperature.' },
    }));
  test('a full depth is the capacity, and more than that is refused', () => {
    const full = readOut({ ...EMPTY_READING, kind: 'dip', value: '200' }, barrel(), null, inside);
    expect(full.figure?.value).toBeCloseTo(5, 6);
    expect(readOut({ ...EMPTY_READING, kind: 'dip', value: '201' }, barrel(), null, inside).body).toBeNull();
  });
  test.each(['0', '-3', 'a lot', '', '1001'])('a weight of "%s" is none', (value) =>
    expect(readOut({ ...EMPTY_READING, value }, barrel(), null, inside).body).toBeNull(),
  );
  test('damp air goes as a fraction', () =>
    expect(
      readOut({ ...EMPTY_READING, kind: 'climate', temp: '-1,5', rh: '70' }, barrel(), null, inside).body,
    ).toMatchObject({ temp_c: -1.5, rh: 0.7 }));
  test('the scale says litres only where the wet barrel was weighed', () => {
    expect(readOut({ ...EMPTY_READING, value: '7' }, barrel(), null, inside).figure).toBeNull();
    // 54 % vol weighs 0.92 kg a litre (OIML R 22): 4 kg are 4.3 litres.
    expect(readOut({ ...EMPTY_READING, value: '7' }, barrel(), 3, inside).figure?.value).toBeCloseTo(4.34, 1);
  });
  test('a sweetened mix is weighed with its sugar, and hides its strength', () => {
    const one = barrel();
    const sweet = { ...one, contents: { ...one.contents!, sugar_g_l: 200 } };
    const mix = { ...inside, abv_pct: { low: 29, mid: 30, high: 31 } };
    // 0.876 L of 34.25 % vol at 0.957 kg/L (OIML R 22) and 0.2 kg of sugar are one litre: 1.038 kg.
    const read = readOut({ ...EMPTY_READING, value: String(3 + 4.5 * 1.038) }, sweet, 3, mix);
    expect(read.figure?.value).toBeCloseTo(4.5, 1);
    expect(isFarOff('weight', read.figure, sweet, 3, { ...mix, volume_l: inside.volume_l })).toBe(false);
    const glass = { ...EMPTY_READING, kind: 'alcoholmeter' as const, value: '8', temp: '20' };
    expect(readOut(glass, sweet, 3, mix)).toMatchObject({ figure: null, body: { abv_apparent_pct: 8 } });
  });
  test('what it means stands beside what was expected', () =>
    expect(meaningWords({ unit: 'L', value: 4.156 }, inside)).toBe(
      `That is 4.16${NB}L; 4.1 to 4.3${NB}L was expected.`,
    ));
  test('far off is asked for again, near is not', () => {
    expect(isFarOff('dip', { unit: 'L', value: 4.35 }, barrel(), null, inside)).toBe(false);
    expect(isFarOff('dip', { unit: 'L', value: 3 }, barrel(), null, inside)).toBe(true);
    expect(isFarOff('dip', { unit: 'L', value: 3 }, barrel(), null, null)).toBe(false);
  });
});

describe('how the forecast changed', () => {
  const after = (low: number, high: number): InsideNow => ({
    ...inside,
    abv_pct: null,
    volume_l: { low, mid: (low + high) / 2, high },
  });
  test('less and surer', () =>
    expect(changedWords(inside, after(4.1, 4.16))).toBe(
      `In it: 4.1 to 4.3${NB}L before, 4.10 to 4.16${NB}L now: less and surer than thought.`,
    ));
  test('as before', () =>
    expect(changedWords(inside, after(4.1, 4.3))).toBe(`In it: 4.1 to 4.3${NB}L, as before.`));
  test('only surer', () =>
    expect(changedWords(inside, after(4.16, 4.24))).toBe(
      `In it: 4.1 to 4.3${NB}L before, 4.16 to 4.24${NB}L now: surer.`,
    ));
  test('nothing without a before', () => expect(changedWords(null, inside)).toBeNull());
});

describe('an evening', () => {
  const now = Date.parse('2026-03-01T20:00:00Z');
  const line = (id: string, body: Record<string, unknown>, more = {}) =>
    logEntry({
      id,
      collection: 'tastings',
      author: MEMBER,
      barrel: NEAP,
      body: { tasted_on: '2026-03-01', sample_ml: 10, ...body },
      ...more,
    });
  const of = (lines: ReturnType<typeof line>[]) =>
    samplesOf(lines, MEMBER, '2026-03-01', () => barrel(), now);

  test('10 mL at 60 % vol are 6 mL of ethanol, 4.7 g: not half a drink of 10 g', () => {
    // Density of ethanol at 20 degrees 789.24 kg/m3 (OIML R 22).
    expect(swallowedOf(of([line('a', {})])).grams).toBeCloseTo(0.006 * 789.24, 3);
    expect(drinksWords(of([line('a', {})]), 10)).toBe(
      `This evening so far: about 0.5 standard drinks of 10${NB}g.`,
    );
  });
  test('what was spat, let down, taken back or another day’s', () => {
    const samples = of([
      line('a', { is_spat: true }),
      line('b', { strength_served_abv_pct: 20 }),
      line('c', {}, { is_void: true }),
      line('d', { tasted_on: '2026-02-28' }),
    ]);
    expect(samples).toHaveLength(2);
    expect(swallowedOf(samples)).toMatchObject({ spat: 1, unknown: 0 });
    expect(swallowedOf(samples).grams).toBeCloseTo(0.002 * 789.24, 3);
  });
  test('a caution comes gently, at the same amount in every country', () => {
    // 24 mL of ethanol, 18.9 g: 2.4 units of the United Kingdom, 0.9 drinks of Japan.
    const two = of([line('a', { sample_ml: 40 })]);
    expect(drinksWords(two, 8)).toMatch(/about 2\.4 standard drinks of 8.g\..*Spitting the rest is no shame/);
    expect(drinksWords(two, 20)).toMatch(
      /about 0\.9 standard drinks of 20.g\..*Spitting the rest is no shame/,
    );
  });
  test('the palate tires from the fifth spirit on', () => {
    expect(tiredPalateWords(4)).toBeNull();
    expect(tiredPalateWords(5)).toMatch(/^Your fifth spirit/);
  });
  test('the profile goes as far as it was touched', () => {
    const draft = { off_notes: [], note: '', sample_ml: 10, liking: 7 };
    expect(saidOf({ ...draft, profile: {}, strength: '' })).toEqual({ liking: 7, sample_ml: 10 });
    expect(saidOf({ ...draft, profile: { fruit: 0 }, strength: '20', is_spat: true })).toEqual({
      liking: 7,
      sample_ml: 10,
      profile: { fruit: 0 },
      strength_served_abv_pct: 20,
      is_spat: true,
    });
  });
});
