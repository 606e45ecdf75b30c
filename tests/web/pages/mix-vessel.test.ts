/** Back into wood: part of a vessel in a mix, what it brings, whose it is and what stands against it. */

import { describe, expect, test } from 'vitest';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { overlaidVessels } from '~/outbox/overlay-glass.ts';
import { fillBodies, NEW_FILL } from '~/pages/words/fill.ts';
import { fillGates, gatesBody, isClear } from '~/pages/words/gates.ts';
import { overdrawnWords, whyNotPoured } from '~/pages/words/glass.ts';
import { logWhat } from '~/pages/words/log.ts';
import { detailSentences, guardLines, mixBody, pourNote } from '~/pages/words/mix.ts';
import { type MixDraft, mixOf, plainMix } from '~/pages/words/mix-plan.ts';
import {
  bringsPrivate,
  gaveOf,
  gaveSentence,
  leftOutSentence,
  mixFromVessel,
  mostOf,
  suggestedShares,
  tooMuchWords,
  vesselPart,
  vesselTroubles,
  withPart,
  withVessels,
} from '~/pages/words/mix-vessel.ts';
import { barrel, logEntry, MEMBER, NOON_MS, tasting } from '../cast.ts';

const DEMIJOHN = '88888888-8888-7888-8888-888888888888';
const ASH = 'ash';
const ROWAN = 'rowan';
const names = (id: string): string => ({ [ASH]: 'Ash', [ROWAN]: 'Rowan' })[id] ?? id;

const demijohn = (more = {}) => ({
  id: DEMIJOHN,
  name: 'demijohn two',
  made_by: 'decants',
  made_at: '2026-02-20T12:00:00Z',
  barrel: 'b1',
  fill: 'f1',
  volume_l: 4,
  left_l: 4,
  expected_l: null,
  abv_pct: 44,
  abv_basis: 'measured' as const,
  sugar_g_l: 0,
  spirit: 'rum' as const,
  family: 'spirit' as const,
  allergens: ['nuts' as const],
  is_private: false,
  is_wine_based: false,
  ties: [],
  ties_lost: [],
  cost_minor: 8000,
  club_weight: 0,
  shares: [
    { person: ASH, weight: 2 },
    { person: ROWAN, weight: 1 },
  ],
  draws: [],
  bottlings: [],
  is_here: false,
  ...more,
});

const ready = (capacity_l = 5.2) =>
  barrel({
    capacity_l,
    nominal_l: capacity_l,
    capacity_basis: 'weighed',
    state: 'ready',
    state_since: '2026-02-28T12:00:00Z',
    contents: null,
    timeline: [{ kind: 'curing', from: '2026-02-20T12:00:00Z', to: '2026-02-28T12:00:00Z', name: null }],
    max_abv_pct: 62.5,
  });
const mixed = (draft: MixDraft, into = ready()) =>
  mixOf(draft, into, { now_ms: NOON_MS, temp_c: 12, drink_g: 10 });

/** New rum of 60 % vol, topped with so many litres out of the vessel. */
const solera = (volume_l: number, vessel = demijohn()): MixDraft => {
  const fresh = plainMix('new rum', 'rum', 'spirit', 60);
  return withPart(fresh, vesselPart(vessel, volume_l, ''));
};

describe('part of a vessel in a mix', () => {
  test('is as much as was chosen, and the rest of the mix fills the room it leaves', () => {
    const mix = mixed(solera(3));
    expect(mix.parts.map((row) => row.part.name)).toEqual(['new rum', 'demijohn two']);
    expect(mix.parts[1]).toMatchObject({ planned_l: 3, volume_l: 3, is_poured: false });
    // Headroom of 4 % of 5.2 L.
    expect(mix.in_barrel_l).toBeCloseTo(5.2 * 0.96, 8);
    // Alcohol is kept: what goes in comes out (a blend's volume of alcohol is the sum of its parts').
    const alcohol_l = 3 * 0.44 + mix.parts[0]!.volume_l * 0.6;
    expect((mix.abv_pct / 100) * mix.in_barrel_l).toBeCloseTo(alcohol_l, 8);
    expect(mix.contraction_l).toBeGreaterThan(0);
  });

  test('what was really poured out of it moves the rest, and the plan of the rest with it', () => {
    const draft = solera(3);
    const poured = {
      ...draft,
      parts: draft.parts.map((part) => (part.vessel ? { ...part, poured: { volume_l: 2.5 } } : part)),
    };
    const [before, after] = [mixed(draft), mixed(poured)];
    expect(after.parts[1]).toMatchObject({ volume_l: 2.5, is_poured: true });
    expect(after.parts[0]!.planned_l).toBeCloseTo(before.parts[0]!.planned_l + 0.5, 2);
    expect(after.in_barrel_l).toBeCloseTo(before.in_barrel_l, 8);
  });

  test('a recipe keeps its proportions beside it', () => {
    const draft = solera(2);
    const water = {
      ...draft.parts[0]!,
      key: 'w',
      name: 'water',
      kind: 'water' as const,
      share_l: 0.5,
      abv_pct: 0,
    };
    const mix = mixed({ ...draft, parts: [...draft.parts, water] });
    expect(mix.parts[2]!.planned_l / mix.parts[0]!.planned_l).toBeCloseTo(0.5, 9);
    expect(mix.in_barrel_l).toBeCloseTo(5.2 * 0.96, 8);
  });

  test('what fills the barrel alone leaves no room, and what is too much is said', () => {
    const large = demijohn({ volume_l: 8, left_l: 8 });
    const mix = mixed(solera(6, large));
    expect(mix.parts[0]?.planned_l).toBe(0);
    expect(guardLines(mix)[0]?.words).toContain('more than the barrel holds');
    expect(mixBody(solera(6, large), mix, ready()).parts.map((part) => part.name)).toEqual(['demijohn two']);
  });

  test('alone it is never scaled up: three litres are three litres', () => {
    const mix = mixed(mixFromVessel(demijohn(), 3));
    expect(mix.in_barrel_l).toBeCloseTo(3, 9);
    expect(mix.allergens).toEqual(['nuts']);
    expect(mostOf(demijohn(), 5.2)).toBe(4);
    expect(mostOf(demijohn({ left_l: 9 }), 5.2)).toBeCloseTo(4.992, 3);
  });

  test('brings its strength, its sugar, its allergens and its part of the cost; the price is the server’s to keep', () => {
    const sweet = demijohn({ sugar_g_l: 80, family: 'cocktail' });
    const draft = solera(3, sweet);
    const mix = mixed(draft);
    expect(mix.sugar_g_l).toBeCloseTo((3 * 80) / mix.in_barrel_l, 6);
    expect(mix.allergens).toEqual(['nuts']);
    expect(mix.cost_minor).toBe(6000);
    expect(detailSentences(mix, 'EUR').join(' ')).toContain('€60.00, without what has no price yet');
    const body = mixBody(draft, mix, ready());
    expect(body.parts[1]).toMatchObject({ vessel: DEMIJOHN, volume_l: 3, abv_pct: 44, allergens: ['nuts'] });
    expect(body.parts[1]).not.toHaveProperty('cost_minor');
    expect(body.plan?.parts[1]?.volume_l).toBe(3);
  });

  test('weighed, it is the volume that the weight has', () => {
    const draft = { ...solera(3), by: 'weight' as const };
    const parts = draft.parts.map((part) => (part.vessel ? { ...part, poured: { mass_kg: 2.813 } } : part));
    // 44 % vol weighs 0.9404 kg/L at 20 °C (OIML R 22), a little less on a scale in air.
    expect(mixed({ ...draft, parts }).parts[1]?.volume_l).toBeCloseTo(2.994, 2);
  });

  test('says how its strength is known, and is less sure where nobody measured', () => {
    const as_filled = demijohn({ abv_basis: 'as_filled' });
    const [sure, unsure] = [mixed(solera(3)), mixed(solera(3, as_filled))];
    expect(pourNote(sure.parts[1]!, { unit: 'L', by: 'volume' })).toBe('44\u00a0%, measured');
    expect(pourNote(unsure.parts[1]!, { unit: 'L', by: 'volume' })).toBe('44\u00a0%, as it was filled');
    expect(unsure.abv_high_pct - unsure.abv_low_pct).toBeGreaterThan(
      sure.abv_high_pct - sure.abv_low_pct + 1,
    );
  });

  test('the guards judge it as any part', () => {
    const weak = demijohn({ abv_pct: 8 });
    const stops = mixed(mixFromVessel(weak, 3)).guards.filter((guard) => guard.level === 'stop');
    expect(stops.map((guard) => guard.code)).toContain('too_weak');
    // Exactly as strong as a barrel may hold is not stronger than that, whatever mixing leaves of rounding.
    const strong = demijohn({ abv_pct: 70 });
    const into = { ...ready(), max_abv_pct: 70 };
    const found = mixed(mixFromVessel(strong, 3), into).guards;
    expect(found.filter((guard) => guard.level === 'stop')).toEqual([]);
  });
});

describe('what may be poured out of', () => {
  test('a vessel whose strength nobody knows is refused with the reason', () => {
    expect(whyNotPoured(demijohn({ abv_pct: null }), true)).toContain('Nobody knows its strength');
    expect(whyNotPoured(demijohn({ left_l: 0 }), true)).toBe('It is empty.');
    expect(whyNotPoured(demijohn(), false)).toContain('the keeper');
    expect(whyNotPoured(demijohn(), true)).toBeNull();
  });

  test('no more than the phone knows is left, but for what two measures may differ', () => {
    const vessel = demijohn({ left_l: 2 });
    expect(tooMuchWords(2.01, vessel, 'L')).toBeNull();
    expect(tooMuchWords(2.1, vessel, 'L')).toContain('Only 2.00\u00a0L is left');
    expect(tooMuchWords(2.1, vessel, 'mL')).toContain('Only 2000\u00a0mL is left');
  });

  test('a correction of the vessel is heard by a mix that stands', () => {
    const draft = solera(3);
    const now = withVessels(draft, [demijohn({ abv_pct: 41, allergens: ['milk'], cost_minor: 4000 })]);
    expect(now.parts[1]).toMatchObject({ abv_pct: 41, allergens: ['milk'], cost_l_minor: 1000, share_l: 3 });
    expect(withVessels(draft, []).parts[1]).toMatchObject({ abv_pct: 44 });
    expect(withVessels(draft, [demijohn({ abv_pct: null })]).parts[1]).toMatchObject({ abv_pct: 44 });
  });
});

describe('two phones at one vessel', () => {
  const gatesWith = (draft: MixDraft, vessel: ReturnType<typeof demijohn>) => {
    const mix = mixed(draft);
    return fillGates({
      barrel: ready(),
      log: [],
      draft,
      mix,
      law: { use: 'private', authority_asked: 'district', age_limit_years: 18 },
      avoided: [],
      vessels: vesselTroubles(mix, [vessel]),
      moment: { now_ms: NOON_MS, timezone: 'UTC' },
    });
  };

  test('what was poured elsewhere since stands in the way until somebody says that it was in there', () => {
    const less = demijohn({ left_l: 1 });
    const gates = gatesWith(solera(3), less);
    const gate = gates.find((one) => one.gate === 'mix');
    expect(gate).toMatchObject({ state: 'open', accept: 'It was in there all the same' });
    expect(gate?.reason).toBe('3\u00a0L of demijohn two goes in, and by the log 1\u00a0L is left of it.');
    expect(isClear(gates, ['allergens'])).toBe(false);
    expect(isClear(gates, ['allergens', 'mix'])).toBe(true);
    expect(gatesBody(gates, ['mix']).find((one) => one.gate === 'mix')).toMatchObject({
      ok: false,
      accepted_by_choice: true,
    });
    expect(guardLines(mixed(solera(3)), [gate?.reason ?? ''])[0]).toMatchObject({ level: 'strong_warning' });
  });

  test('what a vessel never held is not poured out of it', () => {
    const small = demijohn({ volume_l: 2, left_l: 2 });
    const gate = gatesWith(solera(3), small).find((one) => one.gate === 'mix');
    expect(gate).toMatchObject({ state: 'shut' });
    expect(gate?.reason).toContain('never held 3\u00a0L');
  });

  test('a vessel that is gone from the phone is named', () =>
    expect(vesselTroubles(mixed(solera(3)), [])).toEqual([
      { words: 'demijohn two is no longer among the vessels on this phone.', is_final: false },
    ]));

  test('what was written down beyond what was in it is said on its page', () => {
    const draw = {
      act: 'a',
      collection: 'fills',
      happened_at: '2026-03-01T12:00:00Z',
      volume_l: 3,
      into: null,
    };
    expect(overdrawnWords(demijohn({ draws: [draw] }))).toBeNull();
    expect(overdrawnWords(demijohn({ draws: [draw, { ...draw, act: 'b' }] }))).toContain('2\u00a0L more');
  });
});

describe('whose it is', () => {
  test('each gave by their share of the vessel, or what they brought', () => {
    const draft = solera(3);
    const own = {
      ...draft,
      parts: draft.parts.map((part) => (part.vessel ? part : { ...part, supplied_by: ROWAN })),
    };
    const club = gaveOf(mixed(draft), [demijohn()]);
    expect(club.map(({ person }) => person)).toEqual([ASH, ROWAN, null]);
    expect(club[0]?.volume_l).toBeCloseTo(2, 9);
    expect(club[1]?.volume_l).toBeCloseTo(1, 9);
    expect(gaveSentence(club, names)).toBe('Ash gave 2\u00a0L, Rowan 1\u00a0L and the club 2\u00a0L.');
    const mine = gaveOf(mixed(own), [demijohn()]);
    expect(mine.map(({ person }) => person)).toEqual([ROWAN, ASH]);
    expect(mine.reduce((sum, one) => sum + one.volume_l, 0)).toBeCloseTo(mixed(own).poured_l, 9);
  });

  test('the club’s own weight in a blend stays the club’s', () => {
    const blend = demijohn({ shares: [{ person: ASH, weight: 1500 }], club_weight: 500 });
    const gave = gaveOf(mixed(mixFromVessel(blend, 2)), [blend]);
    expect(gave).toEqual([
      { person: ASH, volume_l: 1.5 },
      { person: null, volume_l: 0.5 },
    ]);
    const none = demijohn({ shares: [] });
    expect(gaveSentence(gaveOf(mixed(mixFromVessel(none, 2)), [none]), names)).toBe(
      'The club gave 2\u00a0L.',
    );
    expect(suggestedShares(gaveOf(mixed(mixFromVessel(none, 2)), [none]))).toEqual({
      sharers: [],
      club_weight: 0,
    });
    expect(suggestedShares(gave)).toEqual({ sharers: [{ person: ASH, weight: 3 }], club_weight: 1 });
    // A dash of it makes the club no sharer.
    expect(
      suggestedShares([
        { person: ASH, volume_l: 4 },
        { person: null, volume_l: 0.1 },
      ]),
    ).toEqual({
      sharers: [{ person: ASH, weight: 1 }],
      club_weight: 0,
    });
  });

  test.each([
    [
      [2, 1],
      [2, 1],
    ],
    [
      [2, 1, 2],
      [2, 1, 2],
    ],
    [
      [1.5, 1.5],
      [1, 1],
    ],
    // One in a hundred is a share too.
    [
      [4.95, 0.05],
      [99, 1],
    ],
    [[3], [1]],
  ])('%j litres make %j shares', (given, shares) => {
    const gave = given.map((volume_l, i) => ({ person: `p${i}`, volume_l }));
    expect(suggestedShares(gave).sharers.map((one) => one.weight)).toEqual(shares);
    // The same, where the last of them is the club.
    const club = gave.map((one, i) => (i > 0 && i === gave.length - 1 ? { ...one, person: null } : one));
    const said = suggestedShares(club);
    const weights = [
      ...said.sharers.map((one) => one.weight),
      ...(said.club_weight ? [said.club_weight] : []),
    ];
    expect(weights).toEqual(given.at(-1)! < 0.1 ? [1] : shares);
  });

  test('no suggestion is further from what was given than half of one per cent, or one share of a hundred', () => {
    for (let i = 1; i < 60; i += 1) {
      const given = [i * 0.07, 3.1, (i % 7) * 0.4 + 0.2];
      const whole = given.reduce((sum, one) => sum + one, 0);
      const shares = suggestedShares(given.map((volume_l, k) => ({ person: `p${k}`, volume_l }))).sharers;
      const all = shares.reduce((sum, one) => sum + one.weight, 0);
      for (const [k, one] of shares.entries()) {
        expect(Math.abs(one.weight / all - given[k]! / whole)).toBeLessThanOrEqual(0.01);
      }
    }
  });

  test('whoever’s liquid goes in without a share is named', () => {
    const gave = gaveOf(mixed(solera(3)), [demijohn()]);
    expect(leftOutSentence(gave, [{ person: ASH, weight: 1 }], names)).toBe(
      '1\u00a0L of Rowan’s goes in without a share in the fill. Agree on that first.',
    );
    expect(leftOutSentence(gave, suggestedShares(gave).sharers, names)).toBeNull();
  });

  test('what was private stays private unless somebody says otherwise', () => {
    const draft = solera(3);
    expect(bringsPrivate(draft, [demijohn()])).toBe(false);
    expect(bringsPrivate(draft, [demijohn({ is_private: true })])).toBe(true);
    expect(bringsPrivate(plainMix('rum', 'rum', 'spirit', 50), [demijohn({ is_private: true })])).toBe(false);
    const filling = {
      barrel: ready(),
      mix: mixed(draft),
      draft,
      fill: NEW_FILL,
      gates: [],
      sharers: [],
      club_weight: 0,
      reservation: null,
    };
    expect(fillBodies({ ...filling, is_private: true }).fill).toMatchObject({
      is_private: true,
      open_to_tasting: false,
    });
  });
});

describe('on this phone at once', () => {
  const queued = (collection: string, body: Record<string, unknown>, id: string): OutboxEntry => ({
    ...tasting(),
    order: 1,
    collection,
    id,
    barrel: 'ebb',
    author: MEMBER,
    body: { happened_at: '2026-03-01T12:00:00Z', ...body },
  });
  const parts = [
    { name: 'demijohn two', volume_l: 3, abv_pct: 44, vessel: DEMIJOHN },
    { name: 'new rum', volume_l: 2, abv_pct: 60 },
  ];
  const fill = queued('fills', { name: 'solera', parts }, 'fill');
  const shown = (entries: OutboxEntry[], vessel = demijohn()) => overlaidVessels([vessel], entries, [])[0];

  test('the vessel has less, and says into which barrel it went', () => {
    const vessel = shown([fill]);
    expect(vessel?.left_l).toBeCloseTo(1, 9);
    expect(vessel?.draws).toEqual([
      { act: 'fill', collection: 'fills', happened_at: '2026-03-01T12:00:00Z', volume_l: 3, into: 'ebb' },
    ]);
  });

  const sent = demijohn({
    left_l: 1,
    draws: [
      { act: 'fill', collection: 'fills', happened_at: '2026-03-01T12:00:00Z', volume_l: 3, into: 'ebb' },
    ],
  });

  test('a correction of the fill takes the new amount instead of the old, a void none', () => {
    const less = queued('fills', { replaces: 'fill', parts: [{ ...parts[0], volume_l: 2.5 }] }, 'less');
    expect(shown([less], sent)?.left_l).toBeCloseTo(1.5, 9);
    expect(shown([less], sent)?.draws.map((draw) => draw.act)).toEqual(['less']);
    expect(shown([fill, less])?.left_l).toBeCloseTo(1.5, 9);
    const taken_back = queued('voids', { act: 'fill', reason: 'another barrel' }, 'void');
    expect(shown([taken_back], sent)).toMatchObject({ left_l: 4, draws: [] });
    expect(shown([fill, taken_back])).toMatchObject({ left_l: 4, draws: [] });
  });

  test('a correction that was sent back changes nothing', () => {
    const refused = { ...queued('voids', { act: 'fill', reason: 'x' }, 'void'), state: 'refused' as const };
    expect(shown([refused], sent)?.left_l).toBe(1);
  });

  test('what a taken-back decant made is no vessel', () =>
    expect(
      overlaidVessels([demijohn()], [queued('voids', { act: DEMIJOHN, reason: 'x' }, 'void')], []),
    ).toEqual([]));

  test('the barrel’s log says where it came from', () => {
    const line = logEntry({ body: { name: 'solera', parts } });
    expect(logWhat(line, { person: names })).toBe(
      'Filled with 5\u00a0L of solera: 3\u00a0L out of demijohn two',
    );
    const plain = logEntry({ body: { name: 'rum', parts: [parts[1]] } });
    expect(logWhat(plain, { person: names })).toBe('Filled with 2\u00a0L of rum');
  });
});
