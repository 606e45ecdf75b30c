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
  'water-change': {
    what: 'Change the water: the old out, the barrel rinsed, fresh water in.',
    why: 'Water that stands in wood for a week goes stale, and the wood keeps the smell.',
    how: 'Drain it all and smell it, rinse once, fill it to its mark, bung it.',
  },
  'top-up': {
    what: 'Top up: replace what wood and air have taken.',
    why: 'A dry patch under the bung shrinks, and more air gets at the liquid.',
    how: 'Measure what you pour in, and its strength. Never to the brim.',
  },
  trouble: {
    what: 'Trouble: say what is wrong, even if you are not sure.',
    why: 'A leak, a smell or mould told today is small; next week it costs the fill.',
    how: 'Choose what you see, add a photo, do what the screen says first.',
  },
  joint: {
    what: 'Wiped joint: see whether a bead comes back where you wiped.',
    why: 'A damp stave may be old; a bead that returns is a leak at work.',
    how: 'Wipe it dry, wait a minute, look. Count the beads, feel with a finger.',
  },
  solution: {
    what: 'Holding solution: sulphite and acid keep an empty barrel sweet for months.',
    why: 'Plain water goes stale in a week; mould in wood is for good.',
    how: 'Outdoors, nobody with asthma near. Dissolve both powders, fill it full, bung it.',
  },
  strip: {
    what: 'Strip test: shows how much sulphite the water still has.',
    why: 'Sulphite left in the wood ends in the glass, and can harm who has asthma.',
    how: 'Dip the strip, wait as its box says, hold it beside the colours.',
  },
  pull: {
    what: 'Pull: decide together that this fill has had enough oak.',
    why: 'Oak cannot be taken out again; a fill pulled early can go back.',
    how: 'Taste first, then give your word. Whoever may decide presses Pull it.',
  },
  vessel: {
    what: 'Vessel: what came out waits in glass until it is bottled or blended.',
    why: 'In glass it stops ageing, so nobody has to hurry.',
    how: 'Keep it full, closed and dark. Write down every litre that leaves it.',
  },
  bottle: {
    what: 'A bottle: say when it is opened, how much is left, who has it.',
    why: 'Once opened, air works on it: low bottles fade within months.',
    how: 'Note the level now and then; hand it over here when you give it away.',
  },
  flight: {
    what: 'Blind flight: glasses with numbers, and nobody knows which is which.',
    why: 'A name or a price sways a score; a number does not.',
    how: 'Pour out of sight, the same amount in each. Names come after all scored.',
  },
  repair: {
    what: 'Work on the wood: scraped and charred again, or toasted again.',
    why: 'Fire and scraping open fresh oak, so the forecast begins anew.',
    how: 'Empty, rinsed, aired; outdoors, water at hand, no spirit near. Then cure it.',
  },
  move: {
    what: 'Move: the barrel stands in another place from today.',
    why: 'Warm, dry places take more of it; the forecast must know where it is.',
    how: 'Two lift what is heavy. Bung in, wipe it, and look for leaks next day.',
  },
  lend: {
    what: 'Lend: somebody has it for a while.',
    why: 'An empty barrel left alone dries out, and nobody here can see it.',
    how: 'Say who has it and until when. Tell them to keep it wet.',
  },
  tag: {
    what: 'A new tag: when the old one is lost or cannot be read.',
    why: 'One barrel, one tag: else its log and another’s get mixed.',
    how: 'Write the code on the barrel before you press. The old one stops counting.',
  },
  retire: {
    what: 'Retire: this barrel is done with drink.',
    why: 'Rotten, cracked or spent wood does no liquid any good.',
    how: 'Empty it, say why, mark it “not for drink”. Its log stays.',
  },
  measure: {
    what: 'Measure: how wide it is at bung and head, how long, how thick its wood.',
    why: 'From these come its own dip marks: the rod then tells true litres.',
    how: 'A tape and a rule, each measure twice. Inside if it is open, else outside.',
  },
  adopt: {
    what: 'A barrel for the club: name it, say what it holds and where it stands.',
    why: 'What it held before is still in its wood: allergens and flavour too.',
    how: 'Ask its giver, look and smell inside, write the tag on it.',
  },
} as const satisfies Record<string, LessonWords>;

export type LessonName = keyof typeof LESSONS;

export const LESSON_NAMES = Object.keys(LESSONS) as LessonName[];

export function lessonFor(name: LessonName): LessonWords {
  return LESSONS[name];
}
