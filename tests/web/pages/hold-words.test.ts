/** Wet holds in words; the figures are those of the trade's care sheets as docs/science/holding.md gives them. */

import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import {
  dipWords,
  doseLines,
  doseWords,
  drainWords,
  gateWords,
  holdAct,
  holdAdvice,
  holdPlanks,
  isSoundSign,
  SIGNS,
  SULPHITE_CAUTIONS,
  topUpWords,
  turnWords,
  waterAge,
  weighable,
} from '~/pages/words/hold.ts';
import { holdingSolution } from '~/science/holding.ts';
import { litres } from '~/science/units.ts';
import { barrel, NOON_MS } from '../cast.ts';

const NB = '\u00a0';
const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const ago = (days: number): string => new Date(NOON_MS - days * 86_400_000).toISOString();

/** Due in so many days; less than none is past. */
const line = (task: string, days: number) => ({
  task,
  last_at: null,
  due_at: ago(-days),
  late_at: ago(-days - 1),
});

/** In water for so many days, its water changed so many days ago. */
function held(days: number, changed = days, more: Partial<Barrel> = {}): Barrel {
  const one = barrel();
  return barrel({
    state: 'held',
    contents: { ...one.contents!, kind: 'hold', started_at: ago(days), start_volume_l: 2.5 },
    water: { changed_at: ago(changed), half_volume_l: 2.5, half_level: 0.5, top_up_at: null },
    care: [line('next_fill', 28 - days), line('water_change', 7 - changed)],
    ...more,
  });
}

const sulphite = (more: Partial<NonNullable<Barrel['sulphite']>> = {}) => ({
  made_at: ago(10),
  strip_mg_l: null,
  strip_at: null,
  is_clear: false,
  ...more,
});

describe('the water', () => {
  test.each([
    [0, 'Today', 'the water was changed'],
    [1, '1 day', 'since the water was changed'],
    [16, '16 days', 'since the water was changed'],
  ])('%d days old says so', (days, mark, under) =>
    expect(waterAge(ago(days), now)).toEqual({ mark, under, days }),
  );

  test('of a clock that runs ahead is of today, not of tomorrow', () =>
    expect(waterAge(ago(-1), now).mark).toBe('Today'));

  // Idle longer than 28 days, a fill or the solution is next; water is changed every seven (design values).
  test.each([
    [27, 2, 'water'],
    [28, 2, 'fill'],
    [40, 7, 'water'],
    [40, 6, 'fill'],
  ])('after %d days with water of %d days the next thing is the %s', (days, changed, act) =>
    expect(holdAct(held(days, changed), now)).toBe(act),
  );

  test('the advice goes with it, and a solution has its own', () => {
    expect(holdAdvice(held(3), 98, now, false)).toBe(
      `Smell it, empty it, rinse till clear, fill to 98${NB}mm.`,
    );
    expect(holdAdvice(held(30, 2), 98, now, false)).toContain('Fill it next');
    expect(holdAdvice(held(30, 2), 98, now, false)).toContain('Four weeks in water.');
    // Full, looked at and renewed when the club's schedule says so.
    const care = [line('solution_check', -1), line('solution_renew', 60)];
    expect(holdAdvice(held(30, 2, { care }), 98, now, true)).toBe(
      `Keep it full. Smell it and strip it now; renew it by 30${NB}April.`,
    );
  });

  test('a top-up is asked for by its day, and at once under 45 %', () => {
    expect(topUpWords(0, 3, now)).toContain('under 45 %');
    expect(topUpWords(3, 20, now)).toBe('Dip it by Wednesday; it may want topping up.');
    expect(topUpWords(50, 90, now)).toContain(`no water before 20${NB}April`);
  });

  test('a dip is a range of whole millimetres', () => {
    expect(dipWords(92.4, 97.6)).toBe(`92 to 98${NB}mm`);
    expect(dipWords(95.1, 95.2)).toBe(`about 95${NB}mm`);
  });

  test('only a bung that is marked tight is turned under water', () => {
    expect(turnWords(held(3))).toContain('then bung up');
    expect(turnWords(held(3, 3, { bung_tight: true }))).toContain('the next third');
  });
});

describe('what it smells of', () => {
  test('only the sweet and the last drink are sound', () => {
    expect(SIGNS.filter((sign) => isSoundSign(sign.value)).map((sign) => sign.value)).toEqual([
      'sound',
      'previous_drink',
    ]);
    expect(isSoundSign('a new smell')).toBe(false);
  });
});

describe('the holding solution', () => {
  test('is dosed by the litre, acid first: 0.8 g/L of citric acid, 0.7 g/L of metabisulphite', () => {
    const dose = holdingSolution(litres(20));
    expect(doseLines(dose.citric_acid_g, dose.metabisulphite_g)).toEqual([
      `16${NB}g citric acid, dissolved first`,
      `14${NB}g potassium metabisulphite, into the cool acid water`,
    ]);
  });

  test('a small barrel is dosed in tenths of a gram, so that none gets half as much again', () => {
    // 0.7 g of metabisulphite in a litre, as above.
    for (const volume_l of [0.5, 1, 2, 3, 5, 10, 20]) {
      const dose = holdingSolution(litres(volume_l));
      expect(weighable(dose.metabisulphite_g)).toBeGreaterThan(0);
      expect(Math.abs(weighable(dose.metabisulphite_g) - 0.7 * volume_l)).toBeLessThanOrEqual(
        volume_l < 10 ? 0.0501 : 0.5,
      );
    }
    const one = holdingSolution(litres(1));
    expect(doseLines(one.citric_acid_g, one.metabisulphite_g)).toEqual([
      `0.8${NB}g citric acid, dissolved first`,
      `0.7${NB}g potassium metabisulphite, into the cool acid water`,
    ]);
  });

  test('a draining never sends spirit into it: rinse, soak, strip; nor into wood that no strip cleared', () => {
    const solution = drainWords({ sulphite: sulphite() }, true).join(' ');
    const soaked = drainWords({ sulphite: sulphite() }, false).join(' ');
    for (const words of [solution, soaked]) {
      expect(words).not.toContain('same day');
      expect(words).toContain(`rinse it three times`);
      expect(words).toContain(`soak a day and strip that water. Under 10${NB}mg/L`);
    }
    expect(solution).toContain('asthma');
    expect(drainWords({ sulphite: null }, false).join(' ')).toContain('fill it the same day');
    const clear = { ...sulphite(), strip_mg_l: 4, is_clear: true };
    expect(drainWords({ sulphite: clear }, false).join(' ')).toContain('fill it the same day');
  });

  test('nobody is offered water for a solution; only the keeper renews it', () => {
    for (const act of ['water', 'fill'] as const) {
      expect(holdPlanks(act, true, false)).toEqual({ lit: null, right: 'dip' });
      expect(holdPlanks(act, true, true)).toEqual({ lit: 'solution', right: 'dip' });
    }
    expect(holdPlanks('water', false, false)).toEqual({ lit: 'change', right: 'top-up' });
    expect(holdPlanks('fill', false, true)).toEqual({ lit: 'fill', right: 'top-up' });
  });

  test('its cautions name asthma, chlorine, air and fire, and that local rules decide', () => {
    const all = SULPHITE_CAUTIONS.join(' ');
    for (const word of [
      'asthma',
      'chlorine',
      'Outdoors',
      'sulphur stick',
      'local rules',
      'Acid into water',
    ]) {
      expect(all).toContain(word);
    }
  });

  test('a fill waits for a strip under ten milligrams in a litre', () => {
    expect(gateWords({ name: 'Neap', sulphite: null }, now)).toBeNull();
    const no_strip = gateWords({ name: 'Neap', sulphite: sulphite() }, now);
    expect(no_strip).toMatch(/rinse three times, soak a day in water/);
    expect(no_strip).toContain(`under 10${NB}mg/L`);
    expect(gateWords({ name: 'Neap', sulphite: sulphite({ strip_mg_l: 20 }) }, now)).toContain(
      `The strip shows 20${NB}mg/L. Rinse, soak a day`,
    );
    expect(gateWords({ name: 'Neap', sulphite: sulphite({ strip_mg_l: 5, is_clear: true }) }, now)).toContain(
      'Clear for a fill; traces are possible.',
    );
  });
});

describe('a dose of spirit in the water', () => {
  test.each([
    // Of 40 %: 30 mL in 1 L is 1.2 % vol, 60 mL 2.3 (2.2 where the water is made up to a litre), in 10 L a tenth of that.
    [30, 1, `about 1.2${NB}%${NB}vol`],
    [60, 1, `about 2.3${NB}%${NB}vol`],
    [30, 10, `about 0.1${NB}%${NB}vol`],
    [10, 20, 'next to nothing'],
  ])('%d mL in %d L is %s, and never called protection', (dose_ml, water_l, strength) => {
    const words = doseWords(dose_ml, water_l);
    expect(words).toContain(strength);
    expect(words).toContain('scent, not protection');
  });
});
