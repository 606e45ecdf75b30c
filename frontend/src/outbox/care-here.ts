/** What this phone has done and not sent yet, laid over what is due: by the tables that the server goes by. */

import type { Barrel, CareLine } from '../api/types.ts';
import table from './care-tasks.json';
import type { OutboxEntry } from './entry.ts';
import type { ShownCareLine } from './overlay.ts';

interface CareTask {
  rule: string;
  settled_by: string[];
}
type Tasks = Record<string, CareTask>;

const TASKS: Record<string, Tasks> = table.tasks;
const READINGS: Record<string, string> = table.readings;
const EVENTS: Record<string, string> = table.events;
/** A strip under this shows the sulphite gone, and settles the rinse before a fill. */
const CLEAR_BELOW_MG_L = 10;

const text = (value: unknown): string => (typeof value === 'string' ? value : '');

/** What one entry says was done, in the words of the server's care marks. */
export function marksOf({ collection, body }: Pick<OutboxEntry, 'collection' | 'body'>): string[] {
  if (collection === 'tendings') return Array.isArray(body.tasks) ? (body.tasks as string[]) : [];
  const event = EVENTS[collection];
  if (event) return [event];
  const mark = collection === 'readings' ? READINGS[text(body.kind)] : undefined;
  if (!mark) return [];
  return typeof body.so2_mg_l === 'number' && body.so2_mg_l < CLEAR_BELOW_MG_L
    ? [mark, 'strip_clear']
    : [mark];
}

/** The tasks of a state whose liquid is known. */
export function tasksIn(state: Barrel['state'], is_solution: boolean): Tasks {
  return TASKS[state === 'held' && is_solution ? 'held_in_solution' : state] ?? {};
}

/** The tasks of a state. A solution's own names tell it from plain water, so a hold knows both. */
export function tasksOf(state: Barrel['state']): Tasks {
  return state === 'held' ? { ...TASKS.held_in_solution, ...TASKS.held } : (TASKS[state] ?? {});
}

/** What a later entry of this phone corrected or took back says nothing any more. */
function standing(entries: readonly OutboxEntry[]): OutboxEntry[] {
  const gone = new Set(
    entries.map((entry) => (entry.collection === 'voids' ? entry.body.act : entry.body.replaces)),
  );
  return entries.filter((entry) => !gone.has(entry.id));
}

/** Lays a barrel's unsent entries over its care: a line that one of them settles says when. */
export function withCare(
  barrel: Pick<Barrel, 'state' | 'state_since'> & { care: CareLine[] },
  entries: readonly OutboxEntry[],
): ShownCareLine[] {
  const tasks = tasksOf(barrel.state);
  const since_ms = barrel.state_since ? Date.parse(barrel.state_since) : 0;
  const done = standing(entries)
    .map((entry) => ({ at: text(entry.body.happened_at), marks: marksOf(entry) }))
    .filter(({ at }) => Date.parse(at) >= since_ms)
    .sort((a, b) => Date.parse(b.at) - Date.parse(a.at));
  return barrel.care.map((line) => {
    const settled_by = tasks[line.task]?.settled_by ?? [line.task];
    const last = done.find(({ marks }) => marks.some((mark) => settled_by.includes(mark)));
    const isNews = last && (line.last_at === null || Date.parse(last.at) > Date.parse(line.last_at));
    return { ...line, here_at: isNews ? last.at : null };
  });
}
