import { describe, expect, test } from 'vitest';
import { weighedCapacityL } from '~/pages/curing/verdict-sheet.tsx';
import {
  fillOfDay,
  partsWrong,
  takeBackNote,
  tasksWrong,
  verdictFields,
  verdictOf,
  withAmount,
  withLabel,
} from '~/pages/words/correct.ts';
import { logEntry } from '../cast.ts';

const sent = (over: Parameters<typeof logEntry>[0]) => ({ ...logEntry(over), here: 'sent' as const });

test('before a retirement is taken back it is said what comes back with it', () => {
  expect(takeBackNote('retirements')).toMatch(/struck through\. The reservations .* come back/);
  expect(takeBackNote('decants')).toBe('It stays readable in the log, struck through.');
});

describe('the parts of a fill, said anew', () => {
  const measured = { name: 'rye', volume_l: 2, abv_pct: 60, cost_minor: 4000, vessel: null };
  const weighed = { name: 'rye', volume_l: 2.1, mass_kg: 1.9, abv_pct: 60 };
  test('half as much costs half as much, and nothing else moves', () =>
    expect(withAmount(measured, 1)).toEqual({ ...measured, volume_l: 1, cost_minor: 2000 }));
  test('another weight leaves no litres of the old one behind', () =>
    expect(withAmount(weighed, 1)).toEqual({ name: 'rye', mass_kg: 1, abv_pct: 60 }));
  test('a weight of another strength means other litres', () => {
    expect(withLabel(weighed, { abv_pct: 50 })).toEqual({ name: 'rye', mass_kg: 1.9, abv_pct: 50 });
    expect(withLabel(measured, { abv_pct: 50 }).volume_l).toBe(2);
  });
  test('a part without a name or an amount is told', () => {
    expect(partsWrong([])).toBe('Nothing was poured.');
    expect(partsWrong([{ name: '', abv_pct: 40, volume_l: 1 }])).toBe('Give each part its name.');
    expect(partsWrong([{ name: 'rum', abv_pct: 40 }])).toContain('rum');
    expect(partsWrong([measured])).toBe('');
  });
});

describe('a visit, said anew', () => {
  test('one at which nothing was done is to be taken back, not corrected', () => {
    expect(tasksWrong({ tasks: [] })).toContain('take the entry back');
    expect(tasksWrong({})).toContain('take the entry back');
    expect(tasksWrong({ tasks: ['roll'] })).toBe('');
  });
});

describe('a verdict, said anew', () => {
  const body = { verdict: 'tight', full_mass_kg: 8, wet_mass_kg: 3, weighed_capacity_l: 5.0091 };
  test('another wet weight makes another capacity', () => {
    const said = { ...verdictOf(body), wet: '3.5' };
    const judged = verdictFields(said, weighedCapacityL(said.full, said.wet, said.temp));
    // Water of 20 °C is 998.2 kg/m3; weighed in air of 1.2 with weights of 8000 (the handbooks' air buoyancy).
    expect(judged).toMatchObject({ ok: true, changed: { wet_mass_kg: 3.5 } });
    expect(judged.ok && judged.changed.weighed_capacity_l).toBeCloseTo((4.5 * (1 - 1.2 / 8000)) / 0.997, 3);
  });
  test('a verdict that is given up needs its reason', () =>
    expect(verdictFields({ ...verdictOf(body), verdict: 'given_up' }, 5)).toMatchObject({ ok: false }));
  test('one weight alone is none', () =>
    expect(verdictFields({ ...verdictOf(body), wet: '' }, null)).toMatchObject({ ok: false }));
});

describe('the fill of a day', () => {
  const barrel = 'b';
  const log = [
    sent({ id: 'old', stay: 'old', barrel, collection: 'fills', happened_at: '2026-01-01T10:00:00Z' }),
    sent({ id: 'out', stay: 'old', barrel, collection: 'decants', happened_at: '2026-02-01T10:00:00Z' }),
    sent({ id: 'new', stay: 'new', barrel, collection: 'fills', happened_at: '2026-03-01T10:00:00Z' }),
  ];
  test.each([
    ['2025-12-31', null],
    ['2026-01-20', 'old'],
    ['2026-02-01', 'old'],
    ['2026-02-10', null],
    ['2026-03-01', 'new'],
  ])('on %s it is %s', (day, fill) => expect(fillOfDay(log, day, 'Europe/London')).toBe(fill));
  test('a fill that was set aside is none', () =>
    expect(
      fillOfDay(
        [...log.slice(0, 2), { ...log[2]!, placement: 'set_aside' as const }],
        '2026-03-05',
        'Europe/London',
      ),
    ).toBe(null));
});
