import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import { afterEach, describe, expect, test } from 'vitest';
import type { Vessel } from '~/api/types.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { overlaidVessels } from '~/outbox/overlay-glass.ts';
import { queueAll } from '~/outbox/queue.ts';
import { bottlesOf, division, tieOf } from '~/pages/bottling/divide.ts';
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
import { drawnApartWords, tieWords } from '~/pages/words/glass.ts';
import { keepingDays } from '~/science/bottles.ts';
import { abvPct, fraction } from '~/science/units.ts';
import { database } from '~/store/db.ts';
import { stored } from '~/store/live.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, FILL, vessel as ofTheClub, tasting, VESSEL } from '../cast.ts';

const MOMENT = { now_ms: Date.parse('2026-04-10T12:00:00Z'), timezone: 'UTC' };
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
  const shares = [
    { person: ASH, weight: 1 },
    { person: ROWAN, weight: 1 },
  ];
  return ofTheClub({ club_weight: 0, shares, ...more });
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

// The same draws as the server's, by its own code (tests/services/test_bottlings.py).
const OTHERS = '99999999-9999-7999-8999-999999999914';
const LOTS: [string, string[]][] = [
  [VESSEL, [ROWAN, ASH]],
  [OTHERS, [ASH, ROWAN]],
];
const ODD = [{ size_ml: 700, fill_ml: 672, count: 3 }];

function bottlingOf(
  vesselId: string,
  id: string,
  day: string,
  more: Record<string, unknown> = {},
): OutboxEntry {
  const body = {
    vessel: vesselId,
    happened_at: `2026-04-${day}T12:00:00Z`,
    bottles: ODD,
    heel_ml: 0,
    ...more,
  };
  return { ...tasting(), order: 1, id, collection: 'bottlings', barrel: null, body };
}

const takenBack: OutboxEntry = {
  ...tasting(),
  order: 2,
  id: 'a3',
  collection: 'voids',
  body: { act: 'a1', reason: 'slip' },
};

const tiesOf = (read: Vessel[], entries: OutboxEntry[], id: string): [string | null, number][] => {
  const found = overlaidVessels(read, entries, []).find((one) => one.id === id)!;
  return found.ties.map((person, at) => [person, found.ties_lost[at]!]);
};

describe('the odd bottle', () => {
  test('falls the same way however often the screen is opened, and as the server draws', () => {
    for (const [id, winners] of LOTS) {
      const [shown] = overlaidVessels([vessel({ id })], [], []);
      expect(shown!.ties).toEqual(winners);
      const once = division(shown!, ODD, 0, 2016);
      expect(division(shown!, ODD, 0, 2016)).toEqual(once);
      expect(once.find((row) => row.person === winners[0])?.count).toBe(2);
    }
  });

  test('goes to whom the server names first', () => {
    for (const [first, second] of [
      [ASH, ROWAN],
      [ROWAN, ASH],
    ]) {
      const told = vessel({ ties: [first!, second!], ties_lost: [1, 0] });
      const rows = division(told, ODD, 0, 2016);
      expect(rows.find((row) => row.person === first)?.count).toBe(2);
      expect(tieOf(told, ODD, 0)).toEqual({
        won: [first],
        lost: [second],
        is_owed: true,
        next: 'even',
      });
    }
  });

  test('of a vessel only this phone knows goes to who lost the last one, as the club’s other vessel says', () => {
    const told = vessel({ id: OTHERS, ties: [ASH, ROWAN], ties_lost: [1, 0] });
    expect(tiesOf([told], [], OTHERS)).toEqual([
      [ASH, 1],
      [ROWAN, 0],
    ]);
    // By lot it were Rowan's.
    const made = vessel({ ties: [], ties_lost: [] });
    expect(tiesOf([told, made], [], VESSEL)).toEqual([
      [ASH, 1],
      [ROWAN, 0],
    ]);
    const elsewhere = { ...told, shares: [...told.shares, { person: FILL, weight: 1 }] };
    expect(tiesOf([elsewhere, made], [], VESSEL)[0]).toEqual([ROWAN, 0]);
  });

  test('is remembered from one bottling of this phone to the next, and forgotten where it is taken back', () => {
    const both = LOTS.map(([id]) => vessel({ id }));
    const first = bottlingOf(VESSEL, 'a1', '02');
    expect(tiesOf(both, [first], OTHERS)).toEqual([
      [ASH, 1],
      [ROWAN, 0],
    ]);
    // Ash's turn, and then they are even: the lot again.
    const second = bottlingOf(OTHERS, 'a2', '03');
    expect(tiesOf(both, [second, first], VESSEL)).toEqual([
      [ROWAN, 1],
      [ASH, 1],
    ]);
    // Without the first, the second was Ash's by lot, and Rowan is owed.
    expect(tiesOf(both, [first, second, takenBack], VESSEL)).toEqual([
      [ROWAN, 1],
      [ASH, 0],
    ]);
  });

  test('that the server knows of is not counted twice, and counts no more once it is taken back', () => {
    const share = { bottles: 1, heel_ml: 0, received_ml: 0, fair_ml: 0, cost_minor: null };
    const done = vessel({
      ties: [ASH, ROWAN],
      ties_lost: [1, 0],
      bottlings: [
        {
          act: 'a1',
          happened_at: '2026-04-02T12:00:00Z',
          heel_ml: 0,
          loss_ml: 0,
          cost_minor: null,
          is_drawn_apart: false,
          shares: [
            { ...share, person: ASH, lost_tie: true },
            { ...share, person: ROWAN, lost_tie: false },
          ],
        },
      ],
    });
    const other = vessel({ id: OTHERS, ties: [ASH, ROWAN], ties_lost: [1, 0] });
    expect(tiesOf([done, other], [bottlingOf(VESSEL, 'a1', '02')], OTHERS)[0]).toEqual([ASH, 1]);
    expect(tiesOf([done, other], [takenBack], VESSEL)).toEqual([
      [ROWAN, 0],
      [ASH, 0],
    ]);
  });

  test('of a bottling counts as it was drawn, and figures that are none harm nothing', () => {
    const both = LOTS.map(([id]) => vessel({ id }));
    const drawn = bottlingOf(VESSEL, 'a1', '02', { drawn: [ASH, ROWAN] });
    expect(tiesOf(both, [drawn], OTHERS)[0]).toEqual([ROWAN, 1]);
    const torn = bottlingOf(VESSEL, 'a1', '02', { bottles: [{ fill_ml: 1.5, count: -1 }] });
    expect(tiesOf(both, [torn], OTHERS)[0]).toEqual([ASH, 0]);
  });

  test('is told with its reason', () => {
    const name = (person: string | null) => (person === ASH ? 'Ash' : person === null ? 'the club' : 'Rowan');
    expect(tieWords({ won: [ASH], lost: [ROWAN], is_owed: false, next: 'lost' }, name)).toBe(
      'Ash and Rowan are level for an odd bottle. It goes to Ash, by lot; Rowan goes first next time.',
    );
    expect(tieWords({ won: [null, ASH], lost: [ROWAN], is_owed: true, next: 'even' }, name)).toBe(
      'The club, Ash and Rowan are level for an odd bottle. One each goes to the club and Ash, who lost before; then they are even.',
    );
    expect(tieWords({ won: [ASH], lost: [ROWAN], is_owed: true, next: 'won' }, name)).toMatch(
      /who lost before; and Ash goes first next time still\.$/,
    );
    const share = { bottles: 1, heel_ml: 0, cost_minor: null, lost_tie: false };
    const shares = [
      { ...share, person: ASH, received_ml: 1000, fair_ml: 500 },
      { ...share, person: ROWAN, received_ml: 500, fair_ml: 1000, lost_tie: true },
    ];
    expect(drawnApartWords({ is_drawn_apart: false, shares }, name)).toBeNull();
    expect(drawnApartWords({ is_drawn_apart: true, shares }, name)).toContain(
      'by the club’s count it was owed to Rowan. It stays where it was handed out, each pays for what they got, and Rowan goes first',
    );
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
    expect(entry!.body).not.toHaveProperty('drawn');
  });

  test('says whose the odd bottle is and sends in which order it drew', async () => {
    const db = await keeperWith(barrel());
    await db.put('vessels', { id: VESSEL, row: vessel({ ties: [ASH, ROWAN], ties_lost: [1, 0] }) } as never);
    stored(db, ['vessels']);
    openScreen('/vessels/:id/bottle', `/vessels/${VESSEL}/bottle`, BottlingPage);
    fireEvent.input(await screen.findByLabelText('How many'), { target: { value: '3' } });
    await screen.findByText(/are level for an odd bottle\..*who lost before;/);
    fireEvent.click(screen.getByRole('button', { name: 'Bottled' }));
    await waitFor(async () => expect(await queueAll(database.value!)).toHaveLength(1));
    const [entry] = await queueAll(database.value!);
    expect(entry!.body).toMatchObject({
      drawn: [ASH, ROWAN],
      given: [
        { person: ASH, size_ml: 500, count: 2 },
        { person: ROWAN, size_ml: 500, count: 1 },
      ],
    });
  });
});
