import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { abvPctFromReading, densityKgM3 } from '~/science/alcoholometry.ts';
import { blend } from '~/science/blending.ts';
import { decimals, OutOfRange, sixDigits, Underdetermined } from '~/science/errors.ts';
import { barrelShape, dipAtVolumeCm, volumeAtDipL } from '~/science/geometry.ts';
import { waterLevelNow } from '~/science/holding.ts';
import { divideBottles } from '~/science/sharing.ts';
import {
  abvPct,
  celsius,
  centimetres,
  days,
  fraction,
  litres,
  millimetres,
  squareMetres,
} from '~/science/units.ts';

const shape = barrelShape({
  head_diameter_cm: centimetres(12),
  bilge_diameter_cm: centimetres(14.2),
  length_cm: centimetres(15.8),
});

describe('units', () => {
  test('the compiler refuses one unit for another, and a bare number for any', () => {
    // @ts-expect-error litres are not centimetres
    expect(volumeAtDipL(shape, litres(7.1))).toBeCloseTo(1.12789, 5);
    // @ts-expect-error a strength and a temperature changed places
    expect(() => abvPctFromReading(celsius(25), abvPct(140))).toThrow(OutOfRange);
    // @ts-expect-error a bare number has no unit
    expect(densityKgM3(0.5, celsius(20))).toBeCloseTo(913.771, 3);
  });

  test('a refusal names the argument, the value and the bound', () => {
    expect(() => volumeAtDipL(shape, centimetres(15))).toThrow(
      'dip_cm is 15; allowed: 0 to 14.2 cm, the bung diameter',
    );
  });

  test.each([undefined, null, 'high', true, {}])('it takes %j for no number', (value) => {
    expect(() => densityKgM3(value as never, celsius(20))).toThrow(OutOfRange);
  });

  // Sources: Python's format specification ("g") and IEEE 754 round half to even.
  test.each([
    [40, '40'],
    [1e12, '1e+12'],
    [1e-5, '1e-05'],
    [0.0001, '0.0001'],
    [999999.6, '1e+06'],
    [123456.4, '123456'],
    [1 / 3, '0.333333'],
    [-0.5, '-0.5'],
    [0, '0'],
  ])('it writes %d as %s', (value, text) => {
    expect(sixDigits(value)).toBe(text);
  });

  test.each([
    [12.25, 1, '12.2'],
    [12.75, 1, '12.8'],
    [36.5, 0, '36'],
    [37.5, 0, '38'],
    [60.04, 1, '60.0'],
  ])('it rounds %d to %d decimals as %s', (value, digits, text) => {
    expect(decimals(value, digits)).toBe(text);
  });
});

describe('what must hold', () => {
  test('a dip of a volume gives the volume back', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (share) => {
        const volume = litres(share * shape.capacity_l);
        expect(volumeAtDipL(shape, dipAtVolumeCm(shape, volume))).toBeCloseTo(volume, 9);
      }),
    );
  });

  test('a blend keeps its masses and gains no more volume than the density table allows', () => {
    const part = fc.record({
      volume_l: fc.double({ min: 0.01, max: 50, noNaN: true }).map(litres),
      abv_pct: fc.double({ min: 0, max: 96, noNaN: true }).map(abvPct),
    });
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 6 }), (parts) => {
        const all = blend(parts);
        const apart = parts.map((one) => blend([one]));
        const sum = (of: (one: typeof all) => number) => apart.reduce((total, one) => total + of(one), 0);
        expect(all.ethanol_kg).toBeCloseTo(
          sum((one) => one.ethanol_kg),
          9,
        );
        expect(all.water_kg).toBeCloseTo(
          sum((one) => one.water_kg),
          9,
        );
        // Mixtures contract, but for weak ones: the specific volume of OIML R 22 stands above its own lower convex
        // hull below 0.233 by mass, by 1.5104e-3 of it at most (at 0.081, from water and 0.233), and no mixture of
        // any parts can gain more than that.
        expect(all.contraction_l).toBeGreaterThan(-1.511e-3 * sum((one) => one.volume_l));
      }),
    );
  });

  test('bottles add up whatever the shares, beyond what doubles hold', () => {
    fc.assert(
      fc.property(
        fc.array(fc.bigInt({ min: 0n, max: 10n ** 30n }), { minLength: 1, maxLength: 12 }),
        fc.nat({ max: 500 }),
        (shares, bottles) => {
          fc.pre(shares.some((share) => share > 0n));
          const { bottles: given } = divideBottles(shares, bottles);
          expect(given.reduce((sum, one) => sum + one, 0)).toBe(bottles);
        },
      ),
    );
  });

  test('a share too long for a double must come as a bigint', () => {
    expect(() => divideBottles([2 ** 53, 1], 3)).toThrow(OutOfRange);
    expect(divideBottles([2n ** 53n + 1n, 2n ** 53n], 1)).toEqual({
      bottles: [1, 0],
      tied: [],
      lost: [],
    });
  });

  test('a climate must be as long as the days that count', () => {
    const hold = {
      volume_l: litres(2.5),
      capacity_l: litres(5),
      area_m2: squareMetres(0.1637),
      stave_mm: millimetres(14.5),
      rh_fraction: fraction(0.5),
    };
    expect(() => waterLevelNow({ ...hold, temp_c: [celsius(20)] }, days(1.5))).toThrow(
      'the 1 days of climate',
    );
    expect(() => waterLevelNow({ ...hold, temp_c: [] }, days(0))).toThrow(Underdetermined);
  });
});
