/**
 * What is taught where it is done: what, why and how, one short line each. A lesson folds away once its reader has
 * done the thing twice. Each has its drawing in `pages/lessons/<name>.tsx`.
 */

export interface LessonWords {
  what: string;
  why: string;
  how: string;
}

const LESSONS = {
  curing: {
    what: 'Curing: water swells a dry barrel until every joint closes.',
    why: 'Dry staves leave gaps. Spirit poured in now would run out through them.',
    how: 'Half fill it, roll it, fill it up. Each top-up tells how much still leaks.',
  },
  hold: {
    what: 'Wet hold: half a barrel of water between two fills.',
    why: 'Empty wood dries and leaks within days; standing water goes stale in a week.',
    how: 'Fill to the half mark; each week roll it, smell and change the water.',
  },
  look: {
    what: 'Look: wipe the heads, hoops and bung, and see.',
    why: 'A leak found as a bead costs drops; found as a puddle it costs the fill.',
    how: 'Wipe dry, wait a minute, look for beads. Trouble if one comes back.',
  },
  fill: {
    what: 'Fill: only a tight, rinsed barrel, and with everybody’s word.',
    why: 'What is wrong before the fill costs water; found after it, it costs the fill.',
    how: 'Go through the list, pour, bung it, wipe it dry and turn it once round.',
  },
  mix: {
    what: 'Mix: measure every part, and write down what it really was.',
    why: 'Spirit and water shrink as they meet, and wood drinks: labels alone mislead.',
    how: 'Take a recipe, weigh or measure, correct the amounts as you pour.',
  },
  reading: {
    what: 'Read: a scale, a rod or an alcoholmeter says what wood hides.',
    why: 'Each figure teaches the forecast how fast this barrel loses and weakens.',
    how: 'Bung up, on level ground. Read twice, and write down the second.',
  },
  roll: {
    what: 'Roll: turn the barrel once round on its side.',
    why: 'It wets all the wood, so no stave dries out and the oak works evenly.',
    how: 'Press the bung in, turn slowly, end with the bung where it says.',
  },
  tasting: {
    what: 'Taste: a small sample, and how well you like it.',
    why: 'Scores of many weeks and people say when a fill is at its best.',
    how: 'Smell, sip, touch the rod. Spitting is fine; never before you drive.',
  },
  walk: {
    what: 'The walk: every barrel that wants something, in walking order.',
    why: 'Five minutes a week at each keeps barrels tight and finds leaks early.',
    how: 'Look, roll, wipe the spigot, press All well. Open what is not well.',
  },
  decant: {
    what: 'Decant: empty the barrel and measure what came out.',
    why: 'The true yield is what is shared, and tells how good the forecast was.',
    how: 'Bung out, spigot into a clean vessel, filter the char, weigh it or read a jug.',
  },
  bottling: {
    what: 'Bottle: fill the bottles you have, the same height in each.',
    why: 'Little air over the liquid keeps it for years; shares decide who gets which.',
    how: 'Rinse, fill to the neck, close, write the tag’s code on each bottle.',
  },
} as const satisfies Record<string, LessonWords>;

export type LessonName = keyof typeof LESSONS;

export const LESSON_NAMES = Object.keys(LESSONS) as LessonName[];

export function lessonFor(name: LessonName): LessonWords {
  return LESSONS[name];
}

/** Which lessons' deed an entry is, by the collection it goes to; a tending is one a task. */
const TAUGHT_BY: Record<string, readonly string[]> = {
  curings: ['curing'],
  fills: ['mix', 'fill'],
  holds: ['hold'],
  readings: ['reading'],
  tastings: ['tasting'],
  decants: ['decant'],
  bottlings: ['bottling'],
};
const TAUGHT_BY_TASK: Record<string, readonly string[]> = {
  roll: ['roll'],
  leak_check: ['look'],
  water_change: ['water-change'],
  top_up: ['top-up'],
};

/** The lessons that an entry practises; a correction of an earlier one practises nothing. */
export function practised(collection: string, body: object): LessonName[] {
  const said = body as { tasks?: unknown; replaces?: unknown };
  if (said.replaces) return [];
  const tasks = collection === 'tendings' && Array.isArray(said.tasks) ? (said.tasks as string[]) : [];
  const names = [...(TAUGHT_BY[collection] ?? []), ...tasks.flatMap((task) => TAUGHT_BY_TASK[task] ?? [])];
  return names.filter((name): name is LessonName => name in LESSONS);
}
