import { describe, expect, test } from 'vitest';
import { ScienceError } from '~/science/errors.ts';
import { type Args, ROOMS, read } from './phone-rooms.ts';
import { readChecks } from './vectors.ts';

interface Row {
  id: string;
  fn: string;
  args: Args;
  expect?: unknown;
  error?: { kind: string; argument: string; bound: string; message?: string };
}

const CHECKS = readChecks('phone.json') as {
  meta: { tolerance: { rel: number; abs: number } };
  rows: Row[];
};
const { rel, abs } = CHECKS.meta.tolerance;

/** Says where two values part, or nothing. */
function parting(got: unknown, wanted: unknown, at: string): string | null {
  if (typeof wanted === 'number') {
    if (typeof got !== 'number') return `${at}: ${got} for ${wanted}`;
    const away = Math.abs(got - wanted);
    return away <= abs || away <= rel * Math.abs(wanted) ? null : `${at}: ${got} for ${wanted}`;
  }
  if (wanted === null || typeof wanted !== 'object')
    return got === wanted ? null : `${at}: ${got} for ${wanted}`;
  const [mine, its] = [Object.keys((got ?? {}) as object).sort(), Object.keys(wanted).sort()];
  if (mine.join() !== its.join()) return `${at}: ${mine} for ${its}`;
  for (const name of its) {
    const found = parting((got as Args)[name], (wanted as Args)[name], `${at}.${name}`);
    if (found) return found;
  }
  return null;
}

describe('the phone answers as the server does', () => {
  test('it serves every room of the file, and no row is without an answer', () => {
    expect(rel).toBe(1e-9);
    expect(abs).toBe(1e-12);
    expect([...new Set(CHECKS.rows.map((row) => row.fn))].sort()).toEqual(Object.keys(ROOMS).sort());
    expect(CHECKS.rows.every((row) => (row.expect === undefined) !== (row.error === undefined))).toBe(true);
  });

  test('a difference of a billionth is seen', () => {
    expect(parting(1 + 2e-9, 1, 'x')).toBe('x: 1.000000002 for 1');
    expect(parting({ a: [1, 2] }, { a: [1, 2, 3] }, 'x')).toContain('x.a');
    expect(parting(Number.NaN, 1, 'x')).toContain('NaN');
  });

  test.each(Object.keys(ROOMS))('%s', (fn) => {
    for (const row of CHECKS.rows.filter((one) => one.fn === fn && one.error === undefined)) {
      expect(parting(ROOMS[fn]!(read(row.args)), row.expect, row.id)).toBeNull();
    }
  });
});

describe('the phone refuses as the server does', () => {
  const refused = CHECKS.rows.filter((row) => row.error !== undefined);

  test.each(refused.map((row) => [row.id, row] as const))('%s', (_, row) => {
    let refusal: unknown;
    try {
      ROOMS[row.fn]!(read(row.args));
    } catch (error) {
      refusal = error;
    }
    expect(refusal).toBeInstanceOf(ScienceError);
    const { name, argument, bound, message } = refusal as ScienceError;
    const { message: said = message, ...told } = row.error!;
    expect({ kind: name, argument, bound }).toEqual(told);
    expect(message).toBe(said);
  });
});
