/** Which lesson's deed an entry is. Small, as every screen that keeps something needs it; the words come with the lesson. */

import type { components } from '~/api/schema.d.ts';
import type { Collection } from '~/outbox/bodies.ts';
import type { LessonName } from './lessons.ts';

type TendingTask = components['schemas']['TendingTask'];
type ReadingKind = components['schemas']['ReadingKind'];
type Taught<Key extends string> = Readonly<Partial<Record<Key, readonly LessonName[]>>>;

/** By the collection an entry goes to, where each of its entries is the same deed. */
export const TAUGHT_BY: Taught<Collection> = {
  curings: ['curing'],
  fills: ['mix', 'fill'],
  tastings: ['tasting'],
  decants: ['decant'],
  bottlings: ['bottling'],
  troubles: ['trouble'],
  pulls: ['pull'],
  'pull-votes': ['pull'],
  blends: ['vessel'],
  discards: ['vessel'],
  'bottle-changes': ['bottle'],
  flights: ['flight'],
  repairs: ['repair'],
  moves: ['move'],
  loans: ['lend'],
  'tag-issues': ['tag'],
  retirements: ['retire'],
  barrels: ['adopt'],
};

/** A tending is one deed a task. */
export const TAUGHT_BY_TASK: Taught<TendingTask> = {
  roll: ['roll'],
  leak_check: ['look'],
  water_change: ['water-change'],
  top_up: ['top-up'],
};

export const TAUGHT_BY_KIND: Taught<ReadingKind> = {
  weight: ['reading'],
  dip: ['reading'],
  alcoholmeter: ['reading'],
  so2_strip: ['strip'],
};

interface Said {
  replaces?: unknown;
  tasks?: readonly TendingTask[];
  joints?: readonly unknown[];
  kind?: ReadingKind;
  is_solution?: boolean;
  length_cm?: number;
  outside_length_cm?: number;
}

/** The lessons that an entry practises; a correction of an earlier one practises nothing. */
export function practised(collection: string, body: object): readonly LessonName[] {
  const said = body as Said;
  if (said.replaces) return [];
  if (collection === 'tendings') {
    const tasks = (said.tasks ?? []).flatMap((task) => TAUGHT_BY_TASK[task] ?? []);
    return said.joints?.length ? [...tasks, 'joint'] : tasks;
  }
  if (collection === 'readings') return (said.kind && TAUGHT_BY_KIND[said.kind]) ?? [];
  if (collection === 'holds') return [said.is_solution ? 'solution' : 'hold'];
  const taught = TAUGHT_BY[collection as Collection] ?? [];
  return collection === 'barrels' && isMeasured(said) ? [...taught, 'measure'] : taught;
}

/** Whether a registration or an edit says how large a barrel is. */
export const isMeasured = (said: { length_cm?: unknown; outside_length_cm?: unknown }): boolean =>
  typeof said.length_cm === 'number' || typeof said.outside_length_cm === 'number';
