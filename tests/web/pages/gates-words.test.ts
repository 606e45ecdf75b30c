import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import {
  type FillDraft,
  fillBodies,
  NEW_FILL,
  readingOf,
  readingSentence,
  reservationFor,
} from '~/pages/words/fill.ts';
import { fillGates, gatesBody, isClear } from '~/pages/words/gates.ts';
import { type MixDraft, mixOf, plainMix } from '~/pages/words/mix-plan.ts';
import { barrel, logEntry, MEMBER, NOON_MS, reservation } from '../cast.ts';

const NOW = { now_ms: NOON_MS, timezone: 'UTC' };
const ASKED = { use: 'private', authority_asked: 'district', age_limit_years: 18 };
const ready = (more: Partial<Barrel> = {}) =>
  barrel({ state: 'ready', state_since: '2026-02-28T12:00:00Z', contents: null, max_abv_pct: 62.5, ...more });
const rye = plainMix('rye', 'whisky', 'spirit', 55);
const line = (collection: string, at: string, body: Record<string, unknown>, more = {}): LogLine => ({
  ...logEntry({ id: at, collection, happened_at: at, body }),
  here: 'sent',
  ...more,
});

function gates(
  one: Barrel,
  more: {
    log?: LogLine[] | null;
    draft?: MixDraft;
    law?: object;
    avoided?: { name: string; allergens: string[] }[];
  } = {},
) {
  const draft = more.draft ?? rye;
  return fillGates({
    barrel: one,
    log: more.log === undefined ? [] : more.log,
    draft,
    mix: mixOf(draft, one, { now_ms: NOON_MS, temp_c: 12, drink_g: 10 }),
    law: (more.law ?? ASKED) as Record<string, unknown>,
    avoided: more.avoided ?? [],
    moment: NOW,
  });
}
const of = (all: ReturnType<typeof gates>, name: string) => all.find((gate) => gate.gate === name);

describe('a new tight barrel and a plain spirit', () => {
  const all = gates(ready());
  test('every gate says why it is as it is', () => {
    expect(all.map((gate) => [gate.gate, gate.state])).toEqual([
      ['tight', 'ok'],
      ['rinsed', 'ok'],
      ['sulphite', 'ok'],
      ['mix', 'ok'],
      ['allergens', 'ok'],
      ['wood', 'amber'],
      ['law', 'ok'],
    ]);
    expect(all.every((gate) => gate.reason.length > 0)).toBe(true);
    expect(isClear(all, [])).toBe(true);
  });
});

describe('tight', () => {
  test.each([
    ['new', 'open'],
    ['curing', 'open'],
    ['held', 'ok'],
    ['filled', 'shut'],
    ['retired', 'shut'],
  ] as const)('%s is %s', (state, expected) => {
    expect(of(gates(ready({ state })), 'tight')?.state).toBe(expected);
  });
  const emptied = (to: string) => ready({ state: 'empty', state_since: to });
  test('emptied yesterday its wood is still wet', () =>
    expect(of(gates(emptied('2026-02-28T12:00:00Z')), 'tight')?.reason).toContain('yesterday'));
  test('long empty it is asked for water first', () =>
    expect(of(gates(emptied('2026-02-10T12:00:00Z')), 'tight')).toMatchObject({ state: 'open' }));
  const shown = (what: Barrel['tightness']['shown']) => ({ shown: what, at: '2026-02-28T12:00:00Z' });
  // Common practice, no source: wood dries and shrinks, whatever it was found to be before.
  test('called tight long ago it is asked for water first', () => {
    expect(of(gates(ready({ state_since: '2026-02-22T12:00:00Z' })), 'tight')?.state).toBe('ok');
    const gate = of(gates(ready({ state_since: '2025-11-01T12:00:00Z' })), 'tight');
    expect(gate).toMatchObject({ state: 'open', reason: expect.stringContaining('120 days ago') });
  });
  test.each(['empty', 'held', 'new'] as const)('%s, a curing that was given up is still open', (state) => {
    const given_up = ready({ state, tightness: shown('given_up') });
    expect(of(gates(given_up), 'tight')).toMatchObject({
      state: 'open',
      reason: expect.stringContaining('given up'),
    });
  });
  test('after fire it wants another curing, however wet it was the day before', () => {
    const charred = ready({ state: 'empty', tightness: shown('repaired') });
    expect(of(gates(charred), 'tight')).toMatchObject({
      state: 'open',
      reason: expect.stringContaining('Cure it again'),
    });
  });
  test('an open leak is not tight', () => {
    const troubles = [
      {
        id: 'x',
        kind: 'leak' as const,
        since: '2026-02-28T12:00:00Z',
        sign: '',
        quarantine: false,
        note: '',
        tastes: [],
      },
    ];
    expect(of(gates(ready({ troubles })), 'tight')?.state).toBe('open');
    expect(of(gates(ready({ troubles: [{ ...troubles[0]!, quarantine: true }] })), 'quarantine')?.state).toBe(
      'shut',
    );
  });
});

describe('rinsed and free of sulphite', () => {
  const used = ready({
    state: 'empty',
    held_before: [{ name: 'rum', spirit: 'rum', family: 'spirit', ended_on: '2026-02-27' }],
    timeline: [{ kind: 'fill', from: '2026-01-01T12:00:00Z', to: '2026-02-27T12:00:00Z', name: 'rum' }],
  });
  const decant = line('decants', '2026-02-27T12:00:00Z', { measured_volume_l: 4 });
  const rinse = line('tendings', '2026-02-27T13:00:00Z', { tasks: ['rinse'] });
  test('a decant without a rinse since keeps it open', () => {
    expect(of(gates(used, { log: [decant] }), 'rinsed')?.state).toBe('open');
    expect(of(gates(used, { log: [rinse, decant] }), 'rinsed')?.state).toBe('ok');
    const aside = { ...rinse, placement: 'set_aside' as const };
    expect(of(gates(used, { log: [aside, decant] }), 'rinsed')?.state).toBe('open');
    expect(of(gates(used, { log: [{ ...rinse, is_void: true }, decant] }), 'rinsed')?.state).toBe('open');
    expect(of(gates(used, { log: [{ ...rinse, here: 'sent_back' }, decant] }), 'rinsed')?.state).toBe('open');
  });
  const solution = line('holds', '2026-02-20T12:00:00Z', { water_l: 3, is_solution: true });
  const strip = (so2_mg_l: number) =>
    line('readings', '2026-02-28T12:00:00Z', { kind: 'so2_strip', so2_mg_l });
  test('a solution wants a strip under ten', () => {
    expect(of(gates(used, { log: [solution] }), 'sulphite')?.reason).toContain('asthma');
    expect(of(gates(used, { log: [strip(25), solution] }), 'sulphite')?.state).toBe('open');
    expect(of(gates(used, { log: [strip(5), solution] }), 'sulphite')?.state).toBe('ok');
  });
  test('sulphite that only the server remembers is asked for as well', () => {
    const sulphite = { made_at: '2026-02-20T12:00:00Z', strip_mg_l: null, strip_at: null, is_clear: false };
    expect(of(gates({ ...used, sulphite }), 'sulphite')?.state).toBe('open');
    expect(
      of(gates({ ...used, sulphite: { ...sulphite, strip_mg_l: 5, is_clear: true } }), 'sulphite')?.state,
    ).toBe('ok');
  });
  test('sulphite before an older fill is of no matter', () => {
    const fill = line('fills', '2026-02-21T12:00:00Z', {});
    expect(of(gates(used, { log: [decant, fill, solution] }), 'sulphite')?.state).toBe('ok');
  });
  test('of a fill that went through the gate and a strip the later says', () => {
    const fill = (ok: boolean, accepted_by_choice: boolean) =>
      line('fills', '2026-02-21T12:00:00Z', { gates: [{ gate: 'sulphite', ok, accepted_by_choice }] });
    const state = (...log: LogLine[]) => of(gates(used, { log }), 'sulphite')?.state;
    expect(state(decant, fill(false, true), solution)).toBe('ok');
    expect(state(decant, fill(false, false), solution)).toBe('open');
    expect(state(strip(25), decant, fill(false, true), solution)).toBe('open');
    const sulphite = { made_at: '2026-02-20T12:00:00Z', strip_mg_l: null, strip_at: null, is_clear: false };
    expect(of(gates({ ...used, sulphite }, { log: [decant, fill(true, false)] }), 'sulphite')?.state).toBe(
      'ok',
    );
  });
  test('an unread log opens nothing', () => expect(isClear(gates(used, { log: null }), [])).toBe(false));
});

describe('what people must know', () => {
  const nutty: MixDraft = { ...rye, parts: [{ ...rye.parts[0]!, kind: 'liqueur', allergens: ['nuts'] }] };
  test('an allergen is accepted by choice, and who avoids it is named to those who may know', () => {
    const gate = of(
      gates(ready(), { draft: nutty, avoided: [{ name: 'Pell', allergens: ['nuts'] }] }),
      'allergens',
    );
    expect(gate?.state).toBe('open');
    expect(gate?.reason).toMatch(/^Pell avoids nuts\./);
    expect(gate?.reason).toContain('marks the barrel for life');
  });
  test('what the wood held once is said for ever', () =>
    expect(of(gates(ready({ allergens: ['milk'] })), 'allergens')?.reason).toBe('The wood has held milk.'));
  test('of an adopted barrel nobody here knows what was in it last', () => {
    const register = { ...barrel().register, adopted: true };
    const found = ready({ state: 'new', state_since: null, register });
    const all = gates(found);
    expect(of(all, 'tight')?.reason).toMatch(/^Adopted as found/);
    expect(of(all, 'rinsed')).toMatchObject({ state: 'amber' });
    expect(of(all, 'sulphite')).toMatchObject({ state: 'amber' });
    const strip = (so2_mg_l: number) =>
      line('readings', '2026-02-27T12:00:00Z', { kind: 'so2_strip', so2_mg_l });
    expect(of(gates(found, { log: [strip(40)] }), 'sulphite')).toMatchObject({ state: 'open' });
    expect(of(gates(found, { log: [strip(4)] }), 'sulphite')).toMatchObject({ state: 'ok' });
    const rinse = line('tendings', '2026-02-27T12:00:00Z', { tasks: ['rinse'] });
    expect(of(gates(found, { log: [rinse] }), 'rinsed')).toMatchObject({ state: 'ok' });
  });
  test('an adopted barrel is not called new, though its fills are not known', () => {
    const found = ready({ fills_left: {}, wood_used: { low: 0.3, typical: 0.55, high: 0.8 } });
    expect(of(gates(ready({ wood_used: { low: 0, typical: 0, high: 0 } })), 'wood')?.reason).toMatch(
      /^Never filled/,
    );
    expect(of(gates(found), 'wood')).toMatchObject({
      state: 'amber',
      reason: expect.stringMatching(/^Filled before; how much/),
    });
  });
  test('spent wood is warned of', () =>
    expect(of(gates(ready({ wood_spent: true })), 'wood')).toMatchObject({
      state: 'open',
      accept: 'We know',
    }));
  test('questions of law stay amber and never stand in the way', () => {
    const all = gates(ready(), { law: {} });
    expect(of(all, 'law')?.state).toBe('amber');
    expect(of(all, 'law')?.reason).toContain('licensing authority');
    expect(isClear(all, [])).toBe(true);
  });
  test('a strength that stops is only open with a reason', () => {
    const weak = { ...rye, parts: [{ ...rye.parts[0]!, abv_pct: 10 }] };
    expect(of(gates(ready(), { draft: weak }), 'mix')?.state).toBe('shut');
    expect(of(gates(ready(), { draft: { ...weak, reason: 'a day’s trial' } }), 'mix')?.state).toBe('open');
  });
  test('milk is shut whatever the reason', () => {
    const milky = { ...rye, reason: 'I want it', parts: [{ ...rye.parts[0]!, kind: 'dairy' as const }] };
    expect(of(gates(ready(), { draft: milky }), 'mix')?.state).toBe('shut');
  });
});

describe('the entries', () => {
  const one = ready({ wood_spent: true });
  const all = gates(one);
  const mix = mixOf(rye, one, { now_ms: NOON_MS, temp_c: 12, drink_g: 10 });
  const filling = (fill: Partial<FillDraft> = {}, used = all, draft = rye, club_weight = 0) =>
    fillBodies({
      barrel: one,
      mix,
      draft,
      fill: { ...NEW_FILL, ...fill },
      gates: used,
      sharers: [{ person: MEMBER, weight: 2 }],
      club_weight,
      reservation: null,
      is_private: fill.is_private ?? false,
    });

  test('the club’s own share goes with the sharers’, and is not said where it has none', () => {
    expect(filling({}, all, rye, 1).fill).toMatchObject({
      sharers: [{ person: MEMBER, weight: 2 }],
      club_weight: 1,
    });
    expect(filling().fill).not.toHaveProperty('club_weight');
  });

  test('a gate gone through by choice says so, one that was green does not', () => {
    const body = gatesBody(all, ['wood']);
    expect(body.find((gate) => gate.gate === 'wood')).toMatchObject({
      ok: false,
      accepted_by_choice: true,
      reason: 'Its wood is spent: expect no oak. We know.',
    });
    expect(body.find((gate) => gate.gate === 'tight')).toMatchObject({ ok: true, accepted_by_choice: false });
  });
  test('a rinse ticked just now is an entry of its own, and makes the gate green', () => {
    const used = gates(
      ready({ held_before: [{ name: 'rum', spirit: 'rum', family: 'spirit', ended_on: '2026-02-27' }] }),
    );
    const bodies = filling({ accepted: ['rinsed'] }, used);
    expect(bodies.rinse).toEqual({ barrel: one.id, tasks: ['rinse'] });
    expect(bodies.fill.gates?.find((gate) => gate.gate === 'rinsed')).toMatchObject({
      ok: true,
      accepted_by_choice: false,
    });
  });
  test('the first roll goes with it unless somebody says otherwise', () => {
    expect(filling().roll).toMatchObject({ tasks: ['roll'], bung_clock: 12 });
    expect(filling({ is_rolled: false }).roll).toBeNull();
  });
  test('a private fill is not open to tasting', () =>
    expect(filling({ is_private: true }).fill).toMatchObject({ is_private: true, open_to_tasting: false }));
  test('weeks become days', () => expect(filling({ weeks: 8 }).fill.planned_days).toBe(56));
  test('a reading goes as it was read', () =>
    expect(filling({ reading: { apparent_pct: 54, temp_c: 12 } }).fill).toMatchObject({
      abv_apparent_pct: 54,
      abv_temp_c: 12,
    }));
  test('a name that was wiped out falls back to the mix’s', () =>
    expect(filling({ name: ' ' }).fill.name).toBe('rye'));
});

describe('a reading', () => {
  test('is put right for its temperature', () => {
    // An alcoholmeter made for 20 °C that shows 40 at 15 °C floats in 42.00 % vol (OIML R 22, Table VIII).
    const read = readingOf({ apparent_pct: 40, temp_c: 15 }, 0);
    expect(read.state === 'read' && read.abv_pct).toBeCloseTo(42, 1);
    expect(readingSentence(read)).toBe('Measured: 42.0\u00a0%\u00a0vol at 20\u00a0°C.');
  });
  test('says nothing in a sweet mix (27 CFR 30.31: solids up to 400 mg in 100 mL)', () =>
    expect(readingOf({ apparent_pct: 40, temp_c: 15 }, 58).state).toBe('unfit'));
  test('wants its temperature', () =>
    expect(readingOf({ apparent_pct: 40, temp_c: null }, 0).state).toBe('half'));
  test('that no spirit could make is said', () =>
    expect(readingOf({ apparent_pct: 99.9, temp_c: -15 }, 0).state).toBe('wrong'));
});

describe('a mix that is too much for the barrel', () => {
  const poured = (volume_l: number) => ({
    ...rye,
    parts: rye.parts.map((one) => ({ ...one, poured: { volume_l } })),
  });
  const made = (one: Barrel, volume_l: number) => {
    const draft = poured(volume_l);
    const mix = mixOf(draft, one, { now_ms: NOON_MS, temp_c: 12, drink_g: 10 });
    const all = gates(one, { draft });
    const { fill } = fillBodies({
      barrel: one,
      mix,
      draft,
      fill: { ...NEW_FILL, accepted: ['mix'] },
      gates: all,
      sharers: [],
      club_weight: 0,
      reservation: null,
      is_private: false,
    });
    return { fill, gate: of(all, 'mix') };
  };
  const weighed = ready({ capacity_basis: 'weighed' });

  // The server takes no more than 110 % of what a barrel holds.
  test('is filled up to its headroom where its capacity was weighed, and the rest is kept in glass', () => {
    const { fill, gate } = made(weighed, 6.5);
    expect(gate).toMatchObject({ state: 'open' });
    expect(gate?.accept).toMatch(/^It is filled to 4\.80.L; the rest stays in glass$/);
    expect(fill.volume_l).toBeCloseTo(4.8, 4);
    expect(Number(fill.plan?.kept_back_l)).toBeCloseTo(6.5 - 4.8, 3);
  });

  test('may all have gone in where nobody weighed what it holds', () => {
    const { fill, gate } = made(ready(), 5.2);
    expect(gate?.accept).toBe('All of it went in');
    expect(fill.volume_l).toBeUndefined();
    expect(made(ready(), 5.8).fill.volume_l).toBeCloseTo(4.8, 4);
  });
});

describe('the reservation it is for', () => {
  const booked = (starts_on: string) => {
    const one = reservation({ starts_on });
    const next = { id: one.id, person: one.person, starts_on, ends_on: one.ends_on, state: one.state };
    return reservationFor(ready({ next_reservation: next }), [one], NOON_MS)?.id ?? null;
  };
  test('is one that begins soon', () => expect(booked('2026-03-08')).not.toBeNull());
  test('is not one of next summer', () => expect(booked('2026-06-01')).toBeNull());
});
