/** What was done out of signal settles on the phone what it will settle on the server. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import table from '~/outbox/care-tasks.json';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { lifeFetched, overlaidBarrel } from '~/outbox/overlay.ts';
import { dueLines } from '~/pages/words/care.ts';
import { walkPlaces } from '~/pages/words/walk.ts';
import { barrel, CLUB, FILL, MEMBER, NEAP, NOON_MS } from '../cast.ts';

const NOW = { now_ms: NOON_MS, timezone: 'UTC' };
const due_at = '2026-02-28T12:00:00Z';
const line = (task: string) => ({ task, last_at: null, due_at, late_at: due_at });

function act(collection: string, body: Record<string, unknown>, order = 1): OutboxEntry {
  const happened_at = `2026-03-01T11:00:0${order}Z`;
  const made = { club: CLUB, author: MEMBER, collection, now_ms: NOON_MS };
  return { ...makeEntry({ ...made, body: { barrel: NEAP, happened_at, ...body } }), order };
}

/** One entry for each mark, as the screens record it. */
function entryOf(mark: string): OutboxEntry {
  const event = Object.entries(table.events).find(([, settled]) => settled === mark)?.[0];
  if (event) return act(event, { fill: FILL, liking: 7, sample_ml: 10 });
  const kind = Object.entries(table.readings).find(([, settled]) => settled === mark)?.[0];
  return kind ? act('readings', { kind }) : act('tendings', { tasks: [mark] });
}

const states = Object.entries(table.tasks).map(([state, tasks]) => ({
  state: state.replace('_in_solution', '') as Barrel['state'],
  tasks: tasks as Record<string, { settled_by: string[] }>,
}));
const pairs = states.flatMap(({ state, tasks }) =>
  Object.entries(tasks).flatMap(([task, { settled_by }]) =>
    settled_by.filter((mark) => mark !== 'tightness').map((mark) => ({ state, task, mark })),
  ),
);
const marks = [...new Set(pairs.map(({ mark }) => mark))];

beforeAll(lifeFetched);

describe('by the server’s own table', () => {
  test.each(pairs)('$mark settles $task while $state', ({ state, task, mark }) => {
    const shown = overlaidBarrel(barrel({ state, care: [line(task)] }), [entryOf(mark)]);
    expect(dueLines(shown.care, NOW)).toEqual([]);
  });
  test('and nothing else settles a task', () => {
    for (const { state, tasks } of states)
      for (const [task, { settled_by }] of Object.entries(tasks))
        for (const mark of marks.filter((one) => !settled_by.includes(one))) {
          const shown = overlaidBarrel(barrel({ state, care: [line(task)] }), [entryOf(mark)]);
          expect([state, task, mark, dueLines(shown.care, NOW).length]).toEqual([state, task, mark, 1]);
        }
  });
  test('either reading of the level counts, the strength does not', () => {
    const level = barrel({ care: [line('level')] });
    const left = (kind: string) =>
      dueLines(overlaidBarrel(level, [act('readings', { kind })]).care, NOW).length;
    expect(['weight', 'dip', 'alcoholmeter', 'climate'].map(left)).toEqual([0, 0, 1, 1]);
  });
});

test('only a strip that shows the sulphite gone settles the rinse before a fill', () => {
  const wet = barrel({ state: 'held', care: [line('solution_rinse'), line('solution_check')] });
  const left = (so2_mg_l: number) =>
    dueLines(overlaidBarrel(wet, [act('readings', { kind: 'so2_strip', so2_mg_l })]).care, NOW).map(
      ({ task }) => task,
    );
  expect(left(25)).toEqual(['solution_rinse']);
  expect(left(5)).toEqual([]);
});

test('an emptied barrel is looked over with one press', () => {
  const bare = barrel({ state: 'empty', contents: null, care: ['review', 'wet_or_fill'].map(line) });
  const place = { id: bare.place, name: 'Cellar', walking_order: 1 } as never;
  const { press } = walkPlaces([overlaidBarrel(bare, [])], [place], NOW)[0]!.rows[0]!;
  expect(press).toEqual({ label: 'Looked over', tasks: ['leak_check'] });
  const after = overlaidBarrel(bare, [act('tendings', { tasks: press.tasks })]);
  expect(dueLines(after.care, NOW).map(({ task }) => task)).toEqual(['wet_or_fill']);
});

test('the walk is done with a hold whose water was changed out of signal', () => {
  const held = barrel({ state: 'held', care: ['roll', 'top_up', 'water_change'].map(line) });
  const place = { id: held.place, name: 'Cellar', walking_order: 1 } as never;
  const { press } = walkPlaces([overlaidBarrel(held, [])], [place], NOW)[0]!.rows[0]!;
  expect(press.label).toBe('Water changed');
  const changed = act('tendings', { tasks: press.tasks, volume_l: 2.5 });
  const after = walkPlaces([overlaidBarrel(held, [changed])], [place], NOW)[0]!;
  expect([after.left, after.rows[0]!.doneAt]).toEqual([0, '2026-03-01T11:00:01Z']);
});

test('what was corrected, taken back, or done before this fill settles nothing', () => {
  const roll = act('tendings', { tasks: ['roll'] });
  const due = (entries: OutboxEntry[]) =>
    dueLines(overlaidBarrel(barrel({ care: [line('roll')] }), entries).care, NOW).length;
  expect(due([roll])).toBe(0);
  expect(due([roll, act('voids', { act: roll.id }, 2)])).toBe(1);
  expect(due([roll, act('tendings', { tasks: ['leak_check'], replaces: roll.id }, 2)])).toBe(1);
  expect(due([act('tendings', { tasks: ['roll'], happened_at: '2026-01-31T12:00:00Z' })])).toBe(1);
});
