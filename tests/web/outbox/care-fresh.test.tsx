import { cleanup, screen } from '@testing-library/preact';
import { describe, expect, test } from 'vitest';
import type { Club } from '~/api/types.ts';
import { firstCare, withFirstCare } from '~/outbox/care-fresh.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { withCare, withLife } from '~/outbox/life.ts';
import { record } from '~/outbox/record.ts';
import HoldPage from '~/pages/hold/index.tsx';
import { isInSolution } from '~/pages/words/barrel.ts';
import { stored } from '~/store/live.ts';
import { keeperWith, leave, openScreen } from '../at-the-barrel.tsx';
import { barrel, CLUB, NEAP, tasting } from '../cast.ts';

const AT = '2026-03-01T12:00:00.000Z';
const HOUR_MS = 3_600_000;
const after = (hours: number): string => new Date(Date.parse(AT) + hours * HOUR_MS).toISOString();

const period = (
  code: string,
  first_hours: number,
  every_hours: number | null,
  leeway_hours: number,
  over_capacity_l = 0,
  up_to_capacity_l: number | null = null,
): Club['care'][number] => ({
  line: `${code}.${over_capacity_l}`,
  code,
  what: code,
  counts_from: '',
  first_hours,
  every_hours,
  leeway_hours,
  over_capacity_l,
  up_to_capacity_l,
  usual: { first_hours, every_hours, leeway_hours },
  is_changed: false,
});

// The defaults of the care schedule: common practice and makers' care sheets, no source; the roll is this club's own.
const CLUB_CARE = {
  strict_water: false,
  timezone: 'Europe/London',
  care: [
    period('cure.topup', 2, 4, 4),
    period('cure.topup.later', 24, 12, 4),
    period('cure.water', 48, 48, 12),
    period('cure.decide', 24, 12, 12),
    period('cure.warn', 96, null, 0),
    period('cure.stop', 168, null, 0),
    period('age.turn', 72, 72, 48),
    period('age.taste', 168, 168, 72, 0, 4),
    period('age.taste', 336, 168, 72, 4, 25),
    period('age.level', 336, 336, 120, 0, 9.999),
    period('age.leak', 24, 24, 24),
    period('age.spigot', 168, 168, 168),
    period('age.decide', 0, 168, 72),
    period('hold.turn', 168, 168, 48),
    period('hold.water', 168, 168, 24),
    period('hold.water.strict', 72, 72, 24),
    period('hold.level', 168, 168, 48),
    period('hold.switch', 672, null, 72),
    period('solution.check', 672, 672, 168),
    period('solution.renew', 2160, 2160, 336),
    period('empty.max', 24, null, 24),
    period('barrel.review', 0, null, 24),
    period('solution.rinse', -48, null, 0),
  ],
};

function entry(collection: string, body: Record<string, unknown> = {}, at = AT): OutboxEntry {
  return {
    ...tasting(),
    id: `0190-${collection}`,
    collection,
    barrel: NEAP,
    state: 'queued',
    base_version: null,
    body: { barrel: NEAP, happened_at: at, ...body },
  } as unknown as OutboxEntry;
}

const empty = () => barrel({ state: 'empty', contents: null, care: [], state_since: '2026-02-01T12:00:00Z' });
const lived = (entries: OutboxEntry[], temp_c: number | null = 12, club = CLUB_CARE) =>
  withFirstCare(withLife(empty(), entries), entries, club, [{ id: CLUB, temp_c: temp_c as number }]);
const due = (row: ReturnType<typeof lived>) =>
  Object.fromEntries(row.care.map((line) => [line.task, [line.due_at, line.late_at]]));

describe('a stay that only this phone knows of', () => {
  test('asks for the care of a fill, by the barrel’s size and the club’s own periods', () => {
    const fill = { name: 'Rye', parts: [], volume_l: 4.7, planned_days: 42 };
    const row = lived([entry('fills', fill)]);
    expect(due(row)).toEqual({
      leak_check: [after(24), after(48)],
      roll: [after(72), after(120)],
      spigot_check: [after(168), after(336)],
      level: [after(336), after(456)],
      taste: [after(336), after(408)],
      decide: [after(42 * 24), after(42 * 24 + 72)],
    });
    expect(row.care[0]?.task).toBe('leak_check');
    expect(due(lived([entry('fills', { ...fill, planned_days: null })])).decide).toBeUndefined();
  });

  test('of a curing, and the end of it', () => {
    expect(due(lived([entry('curings', { water_l: 2.5 })]))).toEqual({
      top_up: [after(2), after(6)],
      tightness: [after(24), after(36)],
      water_change: [after(48), after(60)],
      curing_end: [after(96), after(168)],
    });
  });

  test('of plain water, sooner where the cellar is warm or the club strict', () => {
    const held = [entry('holds', { water_l: 2.5 })];
    expect(due(lived(held)).water_change).toEqual([after(168), after(192)]);
    expect(due(lived(held, 21)).water_change).toEqual([after(72), after(96)]);
    const strict = { ...CLUB_CARE, strict_water: true };
    expect(due(lived(held, null, strict)).water_change).toEqual([after(72), after(96)]);
    expect(isInSolution(lived(held))).toBe(false);
  });

  test('of a solution: its hold is one, and a strip clears it', () => {
    const solution = entry('holds', { water_l: 5, is_solution: true });
    const row = lived([solution]);
    expect(due(row)).toMatchObject({
      solution_check: [after(672), after(840)],
      solution_renew: [after(2160), after(2496)],
    });
    expect(due(row).water_change).toBeUndefined();
    expect(due(row).solution_rinse).toBeUndefined();
    // Two days before the fill that is booked, at the club's midnight.
    const booked = { ...row, next_reservation: { starts_on: '2026-06-01' } } as typeof row;
    const rinse = withFirstCare(booked, [solution], CLUB_CARE, []).care.find(
      (line) => line.task === 'solution_rinse',
    );
    expect(rinse?.due_at).toBe('2026-05-29T23:00:00.000Z');
    expect(isInSolution(row)).toBe(true);
    expect(row.sulphite).toEqual({ made_at: AT, strip_mg_l: null, strip_at: null, is_clear: false });
    const strip = entry('readings', { kind: 'so2_strip', so2_mg_l: 4 }, after(1));
    expect(lived([solution, strip]).sulphite).toMatchObject({ strip_mg_l: 4, is_clear: true });
  });

  test('of an emptied barrel that dries', () => {
    const left = [entry('decants', { measured_volume_l: 4 })];
    const row = withFirstCare(withLife(barrel({ care: [] }), left), left, CLUB_CARE, []);
    expect(due(row)).toEqual({
      review: [after(0), after(24)],
      wet_or_fill: [after(24), after(48)],
    });
  });

  test('what was done since is laid over it', () => {
    const entries = [entry('curings', { water_l: 2.5 }), entry('tendings', { tasks: ['top_up'] }, after(3))];
    const care = withCare(lived(entries), entries);
    expect(care.find((line) => line.task === 'top_up')?.here_at).toBe(after(3));
    expect(care.find((line) => line.task === 'water_change')?.here_at).toBeNull();
  });

  test('nothing is asked of what is away, nor made up where the server has spoken or no club was read', () => {
    const lent = [entry('holds', { water_l: 2.5 }), entry('loans', { borrower: 'a friend' }, after(1))];
    expect(lived(lent).care).toEqual([]);
    const known = barrel();
    const rolled = [entry('tendings', { tasks: ['roll'] })];
    expect(withFirstCare(known, rolled, CLUB_CARE, []).care).toBe(known.care);
    const held = [entry('holds', { water_l: 2.5 })];
    expect(withFirstCare(withLife(empty(), held), held, null, []).care).toEqual([]);
    expect(firstCare({ ...barrel(), state_since: null }, false, CLUB_CARE, null)).toEqual([]);
  });

  test('shows a solution’s strip test on its page before it is sent', async () => {
    const db = await keeperWith(empty());
    await record('holds', { barrel: NEAP, water_l: 5, is_solution: true });
    stored(db, ['outbox']);
    openScreen('/barrels/:id/hold', `/barrels/${NEAP}/hold`, HoldPage);
    await screen.findByRole('button', { name: 'Strip test' });
    cleanup();
    leave();
  });
});
