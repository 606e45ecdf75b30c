/** The diagnosis table: what a sign means, and when to let a barrel go (common practice, no source). */

import { describe, expect, test } from 'vitest';
import { DIAGNOSES, diagnosisOf, OFF_SIGNS } from '~/pages/words/diagnosis.ts';
import { isSoundSign, SIGNS } from '~/pages/words/hold.ts';

const of = (sign: string) => {
  const found = diagnosisOf(sign);
  if (!found) throw new Error(`No diagnosis of ${sign}.`);
  return found;
};
const all = (sign: string): string => [...of(sign).steps, of(sign).retireIf].join(' ');

describe('the table', () => {
  test('knows each sign once, and every sign that a hold can smell of', () => {
    const signs = DIAGNOSES.map((one) => one.sign);
    expect(new Set(signs).size).toBe(signs.length);
    for (const { value } of SIGNS) expect(diagnosisOf(value)).toBeDefined();
    expect(diagnosisOf('a new smell')).toBeUndefined();
  });

  test('what is sound for the hold is nothing to retire for, and the other way round', () => {
    const off = new Set(OFF_SIGNS.map((one) => one.sign));
    for (const { value } of SIGNS) expect(off.has(value)).toBe(!isSoundSign(value));
  });

  test('what spoils the inside is in quarantine; fur outside and the last drink are not', () => {
    const shut = DIAGNOSES.filter((one) => one.quarantine).map((one) => one.sign);
    expect(shut.sort()).toEqual(['musty', 'nail_varnish', 'rotten_egg', 'slime', 'vinegar']);
  });
});

describe('each sign', () => {
  test('vinegar: not filled, hot water twice, solution for two to four weeks, else retired for spirits', () => {
    expect(all('vinegar')).toMatch(/Do not fill.*Hot water twice.*two to four weeks.*retire it for spirits/);
    expect(all('nail_varnish')).toMatch(/As for vinegar.*retire it for spirits/);
  });
  test('musty: nothing reliable, at once', () => {
    expect(of('musty').likely).toContain('Chloroanisoles');
    expect(all('musty')).toMatch(/Nothing reliable.*At once/);
  });
  test('rotten egg: air, three rinses, a day’s soak; after three soaks it goes', () =>
    expect(all('rotten_egg')).toMatch(/Air it.*Rinse three times, soak a day.*three soaks/));
  test('slime: 60 to 80 °C for 15 to 30 minutes, solution for a week; twice in a row it goes', () =>
    expect(all('slime')).toMatch(/60 to 80 °C, 15 to 30 minutes.*for a week.*twice in a row/));
  test('fur outside: 70 % spirit, air under 80 % damp', () =>
    expect(all('fur_outside')).toMatch(/70 % spirit.*under 80 %/));

  test('where it can hurt the caution stands in the same step', () => {
    for (const { steps } of DIAGNOSES) {
      for (const step of steps) {
        if (/Hot water.*°C/.test(step)) expect(step).toContain('scalds');
        if (/70 % spirit/.test(step)) expect(step).toMatch(/flame/);
      }
    }
    expect(all('rotten_egg')).toContain('asthma');
  });
});
