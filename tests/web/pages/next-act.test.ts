import { describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import { stateSentence } from '~/pages/words/barrel.ts';
import { nextAct } from '~/pages/words/next-act.ts';
import { barrel, NOON_MS } from '../cast.ts';

const keeper = { tend: true, settle: true, fill: true };
const member = { tend: true, settle: false, fill: false };
const trouble = (kind: string, quarantine = false) =>
  ({
    troubles: [{ id: 't', kind, since: '2026-03-01T09:00:00Z', note: '', tastes: [], quarantine }],
  }) as unknown as Partial<Barrel>;
const solution = {
  state: 'held',
  water: { changed_at: '2026-03-01T09:00:00Z', half_volume_l: 2.5, half_level: 0.5, top_up_at: null },
  care: [
    {
      task: 'solution_renew',
      last_at: null,
      due_at: '2026-06-01T09:00:00Z',
      late_at: '2026-06-15T09:00:00Z',
    },
  ],
} as unknown as Partial<Barrel>;

describe('what is next at a barrel', () => {
  test('a missing one is looked for, not tasted', () => {
    expect(nextAct(barrel(trouble('missing')), keeper).act).toBe('settle');
    expect(nextAct(barrel(trouble('missing')), member).act).toBe('none');
  });
  test('one that is lent comes back before it is filled', () => {
    const lent = barrel({
      state: 'ready',
      contents: null,
      loan: { borrower: 'Fen', since: '2026-03-01T09:00:00Z', back_by: null },
    });
    expect(nextAct(lent, keeper).act).toBe('back');
    expect(nextAct(lent, member).act).toBe('none');
  });
  test('one full of solution is not changed like water', () => {
    expect(nextAct(barrel(solution), keeper)).toEqual({ act: 'hold', label: 'The solution' });
    expect(stateSentence(barrel(solution), { now_ms: NOON_MS, timezone: 'Europe/London' })).toMatch(
      /^Full of holding solution, made /,
    );
  });
  test('fresh water in a long hold makes the fill the next act', () => {
    const held = barrel({ state: 'held' });
    expect(nextAct(held, { ...keeper, fillNext: true }).act).toBe('fill');
    expect(nextAct(held, { ...member, fillNext: true }).act).toBe('reserve');
    expect(nextAct(held, keeper).act).toBe('water_changed');
  });
});
