import { describe, expect, test } from 'vitest';
import type { Bottle, Vessel } from '~/api/types.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { overlaidBottle, overlaidVessels } from '~/outbox/overlay-glass.ts';
import { division, swapped } from '~/pages/bottling/divide.ts';
import { bestBeforeWords, bottleWords, isSoon } from '~/pages/words/bottle.ts';
import {
  isPulled,
  leftWords,
  money,
  recordWords,
  scoredWords,
  standingOf,
  standingWords,
  vesselStrengthWords,
  votesOf,
  warnedWords,
} from '~/pages/words/glass.ts';
import { litresOfMass } from '~/pages/words/weighed.ts';
import { divideSizes, splitCost } from '~/science/sharing.ts';
import { barrel, NEAP, vessel as ofTheClub, tasting } from '../cast.ts';

const WICK = '0190a1b2-0000-7000-8000-000000000001';
const MARL = '0190a1b2-0000-7000-8000-000000000002';
const MOMENT = { now_ms: Date.parse('2026-04-10T12:00:00Z'), timezone: 'Europe/London' };

function vessel(more: Partial<Vessel> = {}): Vessel {
  const shares = [
    { person: WICK, weight: 2 },
    { person: MARL, weight: 1 },
  ];
  const rye = { barrel: 'b1', fill: 'f1', volume_l: 4.2, left_l: 4.2, abv_pct: 54, cost_minor: 9000 };
  return ofTheClub({ ...rye, club_weight: 0, shares, ...more });
}

function bottle(more: Partial<Bottle> = {}): Bottle {
  return {
    id: 'o1',
    tag_code: 'AAAAAA',
    number: 1,
    made: 8,
    bottling: 'g1',
    vessel: '99999999-9999-7999-8999-999999999999',
    barrel: 'b1',
    fill: 'f1',
    name: 'rye',
    spirit: 'whisky',
    family: 'spirit',
    allergens: [],
    is_private: false,
    abv_pct: 54,
    abv_basis: 'measured',
    size_ml: 500,
    fill_ml: 500,
    level_ml: 500,
    holder: WICK,
    bottled_at: '2026-04-01T12:00:00Z',
    opened_at: null,
    ended_at: null,
    end: '',
    best_before: '2028-03-21',
    drink_from: '2028-03-07',
    is_kept_cold: false,
    ...more,
  };
}

const queued = (
  collection: string,
  body: Record<string, unknown>,
  more: Partial<OutboxEntry> = {},
): OutboxEntry => ({
  ...tasting(),
  order: 1,
  id: `e-${collection}`,
  collection,
  body: { happened_at: '2026-04-09T12:00:00Z', ...body },
  state: 'queued',
  ...more,
});

describe('dividing', () => {
  test('bottles go by the largest remainder and the heel makes up for it (Balinski and Young, 2001)', () => {
    const said = divideSizes([{ fill_ml: 500, count: 8 }], [2, 1], 190);
    expect(said.bottles).toEqual([[5, 3]]);
    expect(said.heel_split_ml).toEqual([190, 0]);
    expect(said.received_ml).toEqual([2690, 1500]);
  });

  test('the largest size goes first, the same as on the server', () => {
    const said = divideSizes(
      [
        { fill_ml: 500, count: 7 },
        { fill_ml: 200, count: 2 },
      ],
      [2, 1],
    );
    expect(said.bottles).toEqual([
      [5, 2],
      [0, 2],
    ]);
    expect(said.received_ml).toEqual([2500, 1400]);
  });

  test('nothing is lost: every bottle, millilitre and coin is somebody’s', () => {
    let seed = 7;
    const random = (below: number): number => {
      seed = (seed * 16807) % 2147483647;
      return seed % below;
    };
    for (let round = 0; round < 500; round += 1) {
      const shares = Array.from({ length: 1 + random(6) }, () => 1 + random(9));
      const sizes = Array.from({ length: 1 + random(3) }, (_, at) => ({
        fill_ml: 100 * (at + 1) + random(90),
        count: random(12),
      }));
      const heel = random(300);
      const said = divideSizes(sizes, shares, heel);
      sizes.forEach((size, at) => {
        expect(said.bottles[at]!.reduce((sum, one) => sum + one, 0)).toBe(size.count);
      });
      const whole = heel + sizes.reduce((sum, size) => sum + size.fill_ml * size.count, 0);
      expect(said.received_ml.reduce((sum, one) => sum + one, 0)).toBe(whole);
      expect(
        splitCost(
          1 + random(99_999),
          said.received_ml.map((one) => one + 1),
        ).every((one) => one >= 0),
      ).toBe(true);
    }
  });

  test('who gets more by a swap pays more, and the whole is paid', () => {
    const lines = [{ size_ml: 500, fill_ml: 500, count: 8 }];
    const fair = division(vessel(), lines, 0, 4200);
    expect(fair.map((row) => [row.person, row.count, row.cost_minor])).toEqual([
      [WICK, 5, 5625],
      [MARL, 3, 3375],
    ]);
    const after = swapped(fair, [{ from: WICK, to: MARL, line: 0 }], lines, vessel(), 4200);
    expect(after.map((row) => [row.count, row.cost_minor])).toEqual([
      [4, 4500],
      [4, 4500],
    ]);
    const none = swapped(fair, Array(9).fill({ from: MARL, to: WICK, line: 0 }), lines, vessel(), 4200);
    expect(none.map((row) => row.count)).toEqual([8, 0]);
  });

  test('a fill of nobody is the club’s', () => {
    const rows = division(vessel({ shares: [] }), [{ size_ml: 500, fill_ml: 500, count: 8 }], 0, 4000);
    expect(rows.map((row) => [row.person, row.count])).toEqual([[null, 8]]);
  });
});

describe('a weighed yield', () => {
  test('a litre of 40 % vol weighs 0.948 kg at 20 °C (OIML R 22)', () => {
    expect(litresOfMass(0.94805, 40, 0)).toBeCloseTo(1, 3);
  });

  test('sugar makes the same litres heavier', () => {
    expect(litresOfMass(1, 30, 200)).toBeLessThan(litresOfMass(1, 30, 0));
  });
});

describe('votes', () => {
  const line = (author: string, choice: string, day: number, more = {}) => ({
    collection: 'pull-votes',
    author,
    happened_at: `2026-04-0${day}T12:00:00Z`,
    is_head: true,
    is_void: false,
    body: { fill: 'f1', choice },
    ...more,
  });

  test('the newest word of each counts, by shares', () => {
    const votes = votesOf(
      [
        line(WICK, 'wait', 1),
        line(WICK, 'pull', 2),
        line(MARL, 'wait', 2),
        line(MARL, 'pull', 3, { is_void: true }),
      ],
      'f1',
    );
    const standing = standingOf(votes, vessel().shares);
    expect(standing).toEqual({ pull: 2, wait: 1, whole: 3, is_for: true });
    expect(standingWords(standing)).toBe('Two of three shares say pull it, one says wait.');
    expect(votesOf([line(WICK, 'pull', 1)], 'another')).toEqual([]);
  });

  test('the club’s share counts in the whole and says nothing', () => {
    const votes = votesOf([line(WICK, 'pull', 1), line(MARL, 'pull', 1)], 'f1');
    const shares = [WICK, MARL].map((person) => ({ person, weight: 1 }));
    expect(standingOf(votes, shares, 1)).toEqual({ pull: 2, wait: 0, whole: 3, is_for: true });
    expect(standingOf(votes, shares, 2).is_for).toBe(false);
    expect(standingOf([], [], 3).whole).toBe(0);
  });

  test('half is not more than half, and strangers do not count', () => {
    const shares = [
      { person: WICK, weight: 1 },
      { person: MARL, weight: 1 },
    ];
    const votes = votesOf([line(WICK, 'pull', 1), line('keeper', 'pull', 1)], 'f1');
    expect(standingOf(votes, shares).is_for).toBe(false);
    expect(standingWords(standingOf([], shares))).toBe('None of its two shares has spoken yet.');
    expect(standingWords(standingOf([], []))).toBe('The fill is the club’s; the keeper decides.');
  });

  test('a decision that was taken back is none', () => {
    const pull = { ...line(WICK, '', 4), collection: 'pulls' };
    expect(isPulled([pull], 'f1')).toBe(true);
    expect(isPulled([{ ...pull, is_void: true }], 'f1')).toBe(false);
  });
});

describe('vessels on this phone', () => {
  test('an unsent bottling and discard are off what is left at once', () => {
    const entries = [
      queued('bottlings', {
        vessel: '99999999-9999-7999-8999-999999999999',
        bottles: [{ size_ml: 500, fill_ml: 500, count: 4 }],
        heel_ml: 100,
        loss_ml: 50,
      }),
      queued('discards', {
        vessel: '99999999-9999-7999-8999-999999999999',
        volume_l: 0.05,
        reason: 'cloudy',
      }),
    ];
    expect(overlaidVessels([vessel()], entries, [])[0]?.left_l).toBeCloseTo(2);
  });

  test('one the server counts already is not taken twice, nor one that was sent back', () => {
    const sent = queued('discards', { vessel: '99999999-9999-7999-8999-999999999999', volume_l: 1 });
    const known = vessel({
      left_l: 3.2,
      draws: [
        {
          act: sent.id,
          collection: 'discards',
          happened_at: '2026-04-09T12:00:00Z',
          volume_l: 1,
          into: null,
        },
      ],
    });
    expect(overlaidVessels([known], [sent], [])[0]?.left_l).toBe(3.2);
    expect(overlaidVessels([vessel()], [{ ...sent, state: 'refused' }], [])[0]?.left_l).toBe(4.2);
  });

  test('a decant is a vessel before it is sent', () => {
    const [made] = overlaidVessels(
      [],
      [queued('decants', { measured_volume_l: 4.1, vessel_name: 'the jar' })],
      [],
    );
    expect(made).toMatchObject({ name: 'the jar', left_l: 4.1, is_here: true });
  });

  test('what a decant brought is its fill’s, though both are only on this phone, and the wood’s', () => {
    const shares = [
      { person: 'sharer', weight: 2 },
      { person: 'other sharer', weight: 1 },
    ];
    const parts = [{ name: 'sloe liqueur', volume_l: 4.8, abv_pct: 30, allergens: ['nuts'] }];
    const of = (collection: string, hour: number, body: Record<string, unknown>): OutboxEntry => ({
      ...queued(collection, { happened_at: `2026-04-09T0${hour}:00:00Z`, ...body }),
      id: `88888888-8888-7888-8888-88888888888${hour}`,
      barrel: NEAP,
    });
    const entries = [
      of('decants', 9, { measured_volume_l: 4.1 }),
      of('fills', 8, {
        name: 'a sloe',
        spirit: 'cocktail',
        family: 'cocktail',
        parts,
        sharers: shares,
        club_weight: 3,
      }),
    ];
    const ready = barrel({ state: 'ready', contents: null, allergens: ['milk'] });
    const [made] = overlaidVessels([], entries, [ready]);
    expect(made).toMatchObject({
      name: 'a sloe',
      fill: '88888888-8888-7888-8888-888888888888',
      shares,
      club_weight: 3,
    });
    expect([...(made?.allergens ?? [])].sort()).toEqual(['milk', 'nuts']);
    const adopted = of('barrels', 7, { name: 'Neap', nominal_l: 5, adopted_allergens: ['egg'] });
    const [here] = overlaidVessels([], [...entries, { ...adopted, id: NEAP }], []);
    expect(here).toMatchObject({ shares });
    expect([...(here?.allergens ?? [])].sort()).toEqual(['egg', 'nuts']);
  });
});

describe('bottles', () => {
  test('what this phone changed shows at once', () => {
    const open = overlaidBottle(bottle(), [
      queued('bottle-changes', { bottle: 'o1', change: 'level', level_ml: 250 }),
    ]);
    expect(bottleWords(open, MOMENT)).toBe('Open since yesterday, 250 of 500\u00a0mL.');
    const away = overlaidBottle(bottle(), [
      queued('bottle-changes', { bottle: 'o1', change: 'handed_over', person: null }),
    ]);
    expect(away).toMatchObject({ holder: null, end: 'away' });
    expect(bottleWords(bottle(), MOMENT)).toBe('Closed, 500\u00a0mL.');
  });

  test('best before speaks of quality, never of safety', () => {
    expect(bestBeforeWords(bottle(), MOMENT)).toBe('Best before 21\u00a0March 2028 (quality).');
    expect(bestBeforeWords(bottle({ best_before: '2026-04-01', is_kept_cold: true }), MOMENT)).toBe(
      'Was at its best until 1\u00a0April (quality). Keep it cold.',
    );
    // The day is the club's: its care schedule says how long before.
    expect(isSoon(bottle({ best_before: '2026-05-01', drink_from: '2026-04-10' }), MOMENT)).toBe(true);
    expect(isSoon(bottle({ best_before: '2026-05-01', drink_from: '2026-04-11' }), MOMENT)).toBe(false);
    expect(isSoon(bottle(), MOMENT)).toBe(false);
  });
});

describe('sentences', () => {
  test('the forecast is scored in words', () => {
    const said = { low: 4.1, mid: 4.2, high: 4.3 };
    expect(scoredWords(said, 4.2)).toMatch(/it held\.$/);
    expect(scoredWords(said, 3.9)).toMatch(/^3\.9\u00a0L is less than/);
    expect(scoredWords(said, 4.5)).toMatch(/is more than/);
    expect(recordWords([vessel()])).toBeNull();
    expect(recordWords([vessel({ expected_l: said }), vessel({ expected_l: said, volume_l: 3.9 })])).toBe(
      'One of two forecasts of a yield held; four in five should.',
    );
  });

  test('what is left, what is warned of and what it costs', () => {
    expect(leftWords(vessel({ left_l: 1.2 }))).toBe('1.2\u00a0L of 4.2\u00a0L left');
    expect(leftWords(vessel({ left_l: 0 }))).toBe('Empty; it held 4.2\u00a0L');
    expect(warnedWords([])).toBeNull();
    expect(warnedWords(['gluten_cereals', 'milk'])).toBe(
      'Contains or touched wood that held: gluten and milk.',
    );
    expect(money(4500, 'GBP')).toBe('£45.00');
    expect(money(4500, 'JPY')).toBe('JP¥4,500');
  });
});

describe('the strength of a bottle', () => {
  test('says how it is known: a figure of before the wood is no label', () => {
    expect(vesselStrengthWords(bottle())).toBe('54\u00a0%\u00a0vol, measured');
    expect(vesselStrengthWords(bottle({ abv_basis: 'as_filled' }))).toBe(
      '54\u00a0%\u00a0vol, as it was filled, not measured since',
    );
  });

  test('is the figure alone in a row that was read before the service told its basis', () => {
    const { abv_basis: _, ...old } = bottle();
    expect(vesselStrengthWords(old as Bottle)).toBe('54\u00a0%\u00a0vol');
  });
});
