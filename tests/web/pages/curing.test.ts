import { describe, expect, test } from 'vitest';
import type { LogLine } from '~/outbox/overlay.ts';
import { curingJudged, curingObserved } from '~/pages/curing/observed.ts';
import { weighedCapacityL } from '~/pages/curing/verdict-sheet.tsx';
import { waterPicture } from '~/pages/parts/water-picture.ts';
import {
  beadsOf,
  curingAdvice,
  curingVerdict,
  isShownTight,
  jointsSentence,
  leavesSentence,
  nextSentence,
} from '~/pages/words/curing.ts';
import { barrel, logEntry } from '../cast.ts';

const START = Date.parse('2026-03-01T12:00:00Z');
const STAY = '99999999-9999-7999-8999-999999999999';
const at = (hours: number): string => new Date(START + hours * 3_600_000).toISOString();

function curing(water_l = 5) {
  const full = barrel();
  return barrel({
    state: 'curing',
    contents: { ...full.contents!, stay: STAY, kind: 'curing', started_at: at(0), start_volume_l: water_l },
  });
}

let count = 0;
function line(hours: number, body: Record<string, unknown>): LogLine {
  count += 1;
  return {
    ...logEntry({ collection: 'tendings', body }),
    id: `line-${String(count).padStart(3, '0')}`,
    stay: STAY,
    happened_at: at(hours),
    here: 'sent',
  };
}
const topUp = (hours: number, ml: number, more = {}): LogLine =>
  line(hours, { tasks: ['top_up'], volume_l: ml / 1000, reading_u_ml: 2, ...more });
const joint = (hours: number, state: string, clock = 5): LogLine =>
  line(hours, { tasks: ['leak_check'], joints: [{ part: 'stave', clock, state }] });
const faded = [150, 40, 10, 4, 4, 3, 3, 3].map((ml, i) => topUp(6 * (i + 1), ml));
const now = { now_ms: START + 49 * 3_600_000, timezone: 'UTC' };

// The same logs as tests/services/test_curing_verdicts.py, so that phone and server read alike.
describe('a curing’s log', () => {
  test('filling up and changing the water set a new mark', () => {
    const seen = curingObserved(curing(2.5), [
      topUp(2, 100),
      topUp(4, 2400, { is_filling_up: true }),
      topUp(10, 50),
      line(48, { tasks: ['water_change'], volume_l: 5 }),
      topUp(60, 0),
    ])!;
    expect(seen.stretches).toEqual([
      { from_h: 4, to_h: 10, volume_ml: 50 },
      { from_h: 48, to_h: 60, volume_ml: 0 },
    ]);
  });

  test('two top-ups in one look are one stretch', () => {
    const seen = curingObserved(curing(), [topUp(6, 50), topUp(6.01, 20)])!;
    expect(seen.stretches).toEqual([{ from_h: 0, to_h: 6, volume_ml: 70 }]);
  });

  test('a joint is dry since it was last wiped, and the wettest one counts', () => {
    const dry = [joint(10, 'wiped'), joint(12, 'wiped', 7), joint(24, 'dry'), joint(30, 'dry', 7)];
    expect(curingObserved(curing(), dry)!.dry_joint_h).toBe(14);
    const beaded = [...dry, joint(36, 'beads')];
    expect(curingObserved(curing(), beaded)!.dry_joint_h).toBe(0);
    expect(curingObserved(curing(), [...beaded, joint(50, 'dry')])!.dry_joint_h).toBe(14);
  });

  test('what was taken back, set aside or sent back counts for nothing', () => {
    const lines = [
      { ...topUp(6, 900), is_void: true },
      { ...topUp(12, 900), placement: 'set_aside' as const },
      { ...topUp(18, 900), here: 'sent_back' as const },
      { ...topUp(24, 900), stay: 'another' },
    ];
    expect(curingObserved(curing(), lines)!.stretches).toEqual([]);
  });
});

describe('the picture of a curing', () => {
  const halfFull = curing(2.5);
  const reckoned = (from: string) => ({
    ...halfFull,
    contents: {
      ...halfFull.contents!,
      near: { from, step_days: 1, volume_l: [[2.4, 2.4, 2.5]], abv_pct: null, level: [[0.49, 0.49, 0.5]] },
    },
  });
  const pictured = (from: string, more: LogLine[]) => {
    const row = reckoned(from);
    const seen = curingObserved(row, more)!;
    return waterPicture(row, now.now_ms, { at_ms: seen.mark_ms, volume_l: row.capacity_l }).volumeLowL;
  };

  test('stands at the bung once it was filled up, before the forecast has heard of it', () => {
    expect(pictured(at(0), [topUp(4, 2400, { is_filling_up: true })])).toBe(5);
    expect(pictured(at(0), [topUp(4, 2400, { is_filling_up: true }), topUp(10, 50)])).toBe(5);
  });

  test('is the forecast’s where that is newer', () => {
    expect(pictured(at(4), [topUp(4, 2400, { is_filling_up: true })])).toBe(2.4);
  });
});

describe('the verdict', () => {
  test('top-ups that fade and a dry joint are tight', () => {
    const judged = curingJudged(curing(), [...faded, joint(20, 'wiped'), joint(48, 'dry')], undefined)!;
    expect(isShownTight(judged)).toBe(true);
    expect(curingVerdict(judged)).toBe('Tight.');
    expect(curingAdvice(barrel(), judged, now)).toMatch(/^Weigh it full/);
  });

  test('without a wiped joint it is not', () => {
    const judged = curingJudged(curing(), faded, undefined)!;
    expect(isShownTight(judged)).toBe(false);
  });

  test('a joint that beads overrules the figure', () => {
    const judged = curingJudged(
      curing(),
      [...faded, joint(20, 'wiped'), joint(48, 'dry'), joint(20, 'wiped', 8), joint(48, 'beads', 8)],
      undefined,
    )!;
    expect(isShownTight(judged)).toBe(false);
    expect(jointsSentence(judged)).toBe('One joint beaded again and one stayed dry.');
    expect(beadsOf(judged).filter((bead) => !bead.dry)).toHaveLength(1);
  });

  test('a barrel that pours out goes back at once', () => {
    const runs = [topUp(25, 300), topUp(26, 1200)];
    expect(curingVerdict(curingJudged(curing(), runs, undefined)!)).toBe('It pours out.');
  });

  test('what leaks and what the wood drinks are said apart', () => {
    const judged = curingJudged(
      curing(),
      [600, 580, 600, 590].map((ml, i) => topUp(6 * (i + 1), ml)),
      undefined,
    )!;
    const said = leavesSentence(judged)!;
    expect(said.leaves).toMatch(
      /mL a day leaves, over the last 24\u00a0hours\. The wood and the air take \d+ to \d+ of it; $/,
    );
    expect(said.rest).toBe('the rest leaks.');
  });

  test('before it is full nothing is judged', () => {
    const judged = curingJudged(curing(2.5), [], undefined)!;
    expect(curingVerdict(judged)).toBe('Keep soaking.');
    expect(curingAdvice(barrel(), judged, now)).toMatch(/fill it to the bung/);
  });
});

describe('two weights', () => {
  // 5 kg of water weighed in air at 20 °C: OIML R 22 (1975), 998.203 kg/m3, less the lift of the air.
  test('make the capacity', () => {
    expect(weighedCapacityL('8,6', '3.6', '')).toBeCloseTo((5 * (1 - 1.2 / 8000)) / (0.998203 - 0.0012), 3);
  });
  test('make none where the full one is lighter, or one is missing', () => {
    expect(weighedCapacityL('3', '3.6', '')).toBeNull();
    expect(weighedCapacityL('8.6', '', '')).toBeNull();
    expect(weighedCapacityL('8.6', '3.6', '80')).toBeNull();
  });
});

describe('what comes next in a curing', () => {
  const judged = curingJudged(curing(), faded, undefined)!;
  const care = (task: string, hours: number, here_at: string | null = null) => ({
    task,
    last_at: null,
    due_at: at(hours),
    late_at: at(hours + 12),
    here_at,
  });
  const next = (...lines: ReturnType<typeof care>[]) => nextSentence({ care: lines }, judged, now);

  test('is by the club’s own periods', () => {
    expect(next(care('top_up', 52), care('water_change', 96))).toMatch(
      /^A joint wiped and dry for 12 hours settles it\. Next top-up .+\. Change the water by .+\.$/,
    );
    expect(next(care('top_up', 48), care('water_change', 48))).toBe(
      'A joint wiped and dry for 12 hours settles it. A top-up is due. The water has stood for two days: change it.',
    );
  });
  test('and what was just done without signal is not asked for', () =>
    expect(next(care('top_up', 48, at(49)), care('water_change', 48, at(49)))).toBe(
      'A joint wiped and dry for 12 hours settles it.',
    ));
});
