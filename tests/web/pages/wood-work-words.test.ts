/** Work on the wood, the loan and the end of a barrel; the kept fractions are those of docs/science/wood.md. */

import { describe, expect, test } from 'vitest';
import {
  AFTER_REPAIR,
  KEPT,
  loanWords,
  REPAIRS,
  RETIREMENTS,
  repairEffect,
  spentWords,
  thinWords,
} from '~/pages/words/wood-work.ts';
import { barrel, NOON_MS } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const used = (typical: number) => ({ wood_used: { low: typical, typical, high: typical } });
const shape = (stave_mm: number | null) => ({ shape: { ...barrel().shape, stave_mm } });

describe('a repair', () => {
  test.each([
    // 0.6 used, of which scraping and charring leave 0.3: 0.18, so 0.82 is there; toasting 0.6: 0.36, so 0.64.
    [
      'scrape_and_rechar',
      0.6,
      'drawn about 60\u00a0% of what its wood can give. Scraped and charred, the wood gives about 80\u00a0% of what fresh',
    ],
    [
      'retoast',
      0.6,
      'drawn about 60\u00a0% of what its wood can give. Toasted anew, the wood gives about 60\u00a0% of what fresh',
    ],
    [
      'scrape_and_rechar',
      1.3,
      'drawn nearly all that its wood can give. Scraped and charred, the wood gives about 60',
    ],
  ] as const)('%s of wood used to %d says what it wins back', (kind, typical, words) =>
    expect(repairEffect(used(typical), kind)).toContain(words),
  );

  test('wins back more by the blade than by the fire alone, and promises neither', () => {
    expect(KEPT.scrape_and_rechar).toBeLessThan(KEPT.retoast);
    for (const { value } of REPAIRS) expect(repairEffect(used(0.8), value)).toContain('not a promise');
  });

  test('of fresh wood has nothing to win back', () =>
    expect(repairEffect(used(0.04), 'retoast')).toContain('nothing yet to win back'));

  test('thin staves bear one toast', () => {
    expect(thinWords({ ...shape(15), repaired_at: null }, 'retoast')).toContain('once at most');
    expect(thinWords({ ...shape(15), repaired_at: '2025-01-01T12:00:00Z' }, 'retoast')).toContain(
      'once is all they bear',
    );
    expect(thinWords({ ...shape(16), repaired_at: null }, 'retoast')).toBeNull();
    expect(thinWords({ ...shape(null), repaired_at: null }, 'retoast')).toBeNull();
    expect(thinWords({ ...shape(12), repaired_at: null }, 'scrape_and_rechar')).toBeNull();
  });

  test('is cured again, and forgets no allergen', () => {
    expect(AFTER_REPAIR).toContain('Cure it again');
    expect(AFTER_REPAIR).toContain('allergens');
  });
});

describe('the end of a barrel', () => {
  test('each reason reads on after "Retired:", and only the last asks for words', () => {
    for (const { value, reason } of RETIREMENTS) {
      if (value === 'other') expect(reason).toBe('');
      else expect(reason).toMatch(/^[a-z].*[^.]$/);
    }
    expect(new Set(RETIREMENTS.map((one) => one.value)).size).toBe(RETIREMENTS.length);
  });

  test('the wood’s own word is a warning with its figures', () => {
    expect(spentWords(barrel({ wood_spent: true }))).toBe('By its fills, its wood is spent.');
    expect(spentWords(barrel({ fills_left: {} }))).toContain('nearly spent');
    expect(spentWords(barrel({ fills_left: { whisky: [2, 3] } }))).toMatch(
      /would still give two to three more of whisky/,
    );
  });
});

describe('a loan', () => {
  const loan = { borrower: 'the club across the water', since: '2026-02-01T12:00:00Z' };
  test('says to whom, and by when it is back', () => {
    expect(loanWords({ loan: null }, now)).toBeNull();
    expect(loanWords({ loan: { ...loan, back_by: null } }, now)).toBe('Lent to the club across the water.');
    expect(loanWords({ loan: { ...loan, back_by: '2026-05-01' } }, now)).toBe(
      'Lent to the club across the water, back by 1\u00a0May.',
    );
  });
});
