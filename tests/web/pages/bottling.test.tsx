import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import { afterEach, describe, expect, test } from 'vitest';
import type { Vessel } from '~/api/types.ts';
import { queueAll } from '~/outbox/queue.ts';
import { bottlesOf, division, tieOrder } from '~/pages/bottling/divide.ts';
import {
  bestWords,
  fillFor,
  fillWords,
  growth,
  type Line,
  lineWrong,
  targetOf,
  targetWords,
} from '~/pages/bottling/headspace.ts';
import BottlingPage from '~/pages/bottling/index.tsx';
import { keepingDays } from '~/science/bottles.ts';
import { abvPct, fraction } from '~/science/units.ts';
import { database } from '~/store/db.ts';
import { stored } from '~/store/live.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, FILL, NEAP } from '../cast.ts';

const MOMENT = { now_ms: Date.parse('2026-04-10T12:00:00Z'), timezone: 'UTC' };
const VESSEL = '99999999-9999-7999-8999-999999999999';
const ASH = '0190a1b2-0000-7000-8000-000000000001';
const ROWAN = '0190a1b2-0000-7000-8000-000000000002';

const line = (more: Partial<Line> = {}): Line => ({
  size_ml: 700,
  fill_ml: 700,
  count: 1,
  foot: '',
  bore: '',
  ...more,
});

function vessel(more: Partial<Vessel> = {}): Vessel {
  return {
    id: VESSEL,
    name: 'rye',
    made_by: 'decants',
    made_at: '2026-04-01T12:00:00Z',
    barrel: NEAP,
    fill: FILL,
    volume_l: 2.45,
    expected_l: null,
    left_l: 2.45,
    abv_pct: 40,
    abv_basis: 'measured',
    sugar_g_l: 0,
    spirit: 'whisky',
    family: 'spirit',
    allergens: [],
    is_private: false,
    is_wine_based: false,
    ties: [],
    cost_minor: null,
    club_weight: 0,
    shares: [
      { person: ASH, weight: 1 },
      { person: ROWAN, weight: 1 },
    ],
    draws: [],
    bottlings: [],
    ...more,
  };
}

describe('the headspace of a bottle', () => {
  // 3 to 5 % are left for expansion: common practice, no source; the target is their middle.
  test('is four percent if nobody says otherwise, and counts what the bottle really holds', () => {
    // 27 CFR 19.356: a bottle of 376 to 999 mL holds its label within 2 %.
    expect(Math.abs(fillFor(line(), targetOf('4')!) - 700)).toBeLessThanOrEqual(0.02 * 700);
    expect(fillFor(line(), targetOf('4')!)).toBe(700);
    expect(fillFor(line({ foot: '730' }), 0.04)).toBe(701);
    expect(fillFor(line({ foot: '7300' }), 0.04)).toBe(700);
    expect(fillFor(line({ foot: '700' }), 0.04)).toBe(672);
    expect([targetOf('-1'), targetOf('51'), targetOf('x')]).toEqual([null, null, null]);
  });

  // A cylinder of 18.5 mm holds 10 mL in 37.2 mm: closed form.
  test('is told in millimetres where the neck was measured', () => {
    expect(fillWords(line())).toBe(
      'Fill each 700\u00a0mL bottle to 700\u00a0mL, 29\u00a0mL below the cork’s foot.',
    );
    expect(fillWords(line({ fill_ml: 719, bore: '18.5' }))).toMatch(/: 37\u00a0mm below the cork’s foot\.$/);
    expect(fillWords(line({ bore: '18.5' }))).toContain('below the neck');
    expect(fillWords(line({ fill_ml: 730 }))).toContain('more than it holds');
    expect(lineWrong(line({ foot: '100', bore: '2' }))).toEqual({
      foot: 'No bottle of that size does.',
      bore: 'No neck is that.',
    });
  });

  // OIML R 22: 40 % vol has 948.05 kg/m3 at 20 °C and 933.97 at 40 °C, so it grows by 1.5 %.
  test('leaves room for a warm day, or says that it does not', () => {
    expect(growth(40)).toBeCloseTo(0.0151, 4);
    expect(targetWords(0.04, 40)).toMatchObject({ isBad: false });
    expect(targetWords(0.01, 40)).toMatchObject({ isBad: true });
    expect(targetWords(0.01, 40).words).toContain('lift its cork');
    // 27 CFR 5.46(b), numbering before 2022: over 8 % misleads.
    expect(targetWords(0.081, 40).words).toContain('Over 8\u00a0%');
    expect(targetWords(0.04, null).isBad).toBe(false);
  });

  test('says before the bottling until when the bottle is at its best', () => {
    const words = bestWords(line(), vessel(), 40, MOMENT);
    expect(words).toMatch(/^Closed, best before 30\u00a0March 2028 \(quality\): 12\u00a0mg of oxygen/);
    expect(words).not.toContain('safe');
    expect(bestWords(line(), vessel({ is_wine_based: true }), 40, MOMENT)).toContain('Keep it cold.');
    expect(bestWords(line(), vessel(), null, MOMENT)).toContain('nobody measured');
    expect(keepingDays(fraction(0.081), abvPct(40)).days).toBe(360);
  });

  test('is counted in how many go in', () => {
    expect(bottlesOf(4200, 500)).toBe(8);
    expect(bottlesOf(4320, 480)).toBe(9);
    expect(bottlesOf(100, 480)).toBe(1);
  });
});

describe('the odd bottle', () => {
  const lines = [{ size_ml: 700, fill_ml: 672, count: 3 }];

  test('falls the same way however often the screen is opened', () => {
    const once = division(vessel(), lines, 0, 2016);
    expect(division(vessel(), lines, 0, 2016)).toEqual(once);
    const keys = Array.from({ length: 20 }, (_, n) => `99999999-9999-7999-8999-9999999999${10 + n}`);
    const winners = keys.map((id) => tieOrder(vessel({ id }), [ASH, ROWAN])[0]);
    expect(new Set(winners).size).toBe(2);
  });

  test('goes to whom the server names first', () => {
    for (const [first, second] of [
      [ASH, ROWAN],
      [ROWAN, ASH],
    ]) {
      const rows = division(vessel({ ties: [first!, second!] }), lines, 0, 2016);
      expect(rows.find((row) => row.person === first)?.count).toBe(2);
    }
  });
});

describe('the screen', () => {
  afterEach(() => {
    cleanup();
    leave();
  });

  test('fills by the headspace, counts anew when it is changed, and sends what was filled and when', async () => {
    const db = await keeperWith(barrel());
    await db.put('vessels', { id: VESSEL, row: vessel() } as never);
    stored(db, ['vessels']);
    openScreen('/vessels/:id/bottle', `/vessels/${VESSEL}/bottle`, BottlingPage);
    const filled = (await screen.findByLabelText('Filled to')) as HTMLInputElement;
    const count = screen.getByLabelText('How many') as HTMLInputElement;
    // 2450 mL: four bottles of 500, and 450 for the glass.
    expect([filled.value, count.value]).toEqual(['500', '4']);
    expect((screen.getByLabelText('The rest, shared in a glass') as HTMLInputElement).value).toBe('450');
    fireEvent.input(screen.getByLabelText('Headspace, of the bottle'), { target: { value: '1' } });
    expect([filled.value, count.value]).toEqual(['516', '4']);
    screen.getByText(/lift its cork/);
    fireEvent.input(screen.getByLabelText('Headspace, of the bottle'), { target: { value: '4' } });
    screen.getByText(/best before .* \(quality\)/);
    fireEvent.click(screen.getByRole('button', { name: 'It was earlier' }));
    fireEvent.input(screen.getByLabelText('When it was done'), { target: { value: '2026-04-02T10:15' } });
    await settle();
    fireEvent.click(screen.getByRole('button', { name: 'Bottled' }));
    await waitFor(async () => expect(await queueAll(database.value!)).toHaveLength(1));
    const [entry] = await queueAll(database.value!);
    expect(entry!.body).toMatchObject({
      time_typed: true,
      bottles: [{ size_ml: 500, fill_ml: 500, count: 4 }],
      heel_ml: 450,
    });
    expect(Object.keys((entry!.body.bottles as object[])[0]!)).toEqual(['size_ml', 'fill_ml', 'count']);
  });
});
