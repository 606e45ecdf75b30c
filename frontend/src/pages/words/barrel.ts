/** What one barrel is, holds and still can, in sentences. */

import type { Barrel, Contents, Range } from '~/api/types.ts';
import type { BarrelPicture, PictureSharer } from '~/components/draw/picture.ts';
import { rangeText } from '~/components/range/format.ts';
import { dayIn, weekOf } from '~/science/dates.ts';
import { nearAt } from '~/science/interpolate.ts';
import { capital, inWords, listed, litres, unit } from './numbers.ts';
import { daysSince, type Moment, nearDayOf, today } from './time.ts';

export const SPIRITS: Record<string, string> = {
  agave: 'agave spirit',
  rum: 'rum',
  whisky: 'whisky',
  brandy: 'brandy',
  fortified_wine: 'fortified wine',
  cocktail: 'a mixed drink',
  unknown: 'a spirit',
};

/** The same, before the word "fill". */
const SPIRIT_FILLS: Record<string, string> = { ...SPIRITS, agave: 'agave', cocktail: 'mixed', unknown: '' };

export const FAMILIES: Record<string, string> = {
  neutral: 'unaged or delicate spirit',
  spirit: 'aged spirit without smoke',
  smoke: 'smoky spirit',
  wine: 'fortified or aromatised wine',
  cocktail: 'bitter, herbal or coffee mix',
};

/** What is in the barrel at an instant: from its course, or from what the server last said. */
export interface InsideNow {
  volume_l: Range;
  abv_pct: Range | null;
  level: Range;
}

export function insideNow(barrel: Barrel, now_ms: number): InsideNow | null {
  const near = barrel.contents?.near;
  return (near ? nearAt(near, now_ms) : null) ?? barrel.now;
}

/** Whether a reader outside a private fill is looking at it. */
export function isOutline(contents: Contents | null): boolean {
  return contents?.kind === 'fill' && contents.is_private && contents.name === null;
}

export function contentsName(contents: Contents): string {
  if (contents.kind !== 'fill') return 'water';
  if (isOutline(contents)) return 'a private fill';
  return contents.name || SPIRITS[contents.spirit ?? 'unknown'] || 'a spirit';
}

export function week(contents: Contents, moment: Moment): number {
  return weekOf(dayIn(moment.timezone, Date.parse(contents.started_at)), today(moment));
}

/** Whether a hold stands full of solution instead of half full of water: its care is another. */
export const isInSolution = (barrel: Pick<Barrel, 'state' | 'care'>): boolean =>
  barrel.state === 'held' && barrel.care.some((line) => line.task === 'solution_renew');

/** One sentence: what the barrel is about now. */
export function stateSentence(barrel: Barrel, moment: Moment): string {
  const { contents } = barrel;
  const since = barrel.state_since === null ? null : Date.parse(barrel.state_since);
  switch (barrel.state) {
    case 'new':
      return barrel.register.adopted
        ? 'Adopted as found, and dry as far as anybody knows. It must be cured before its next fill.'
        : 'New. It must be cured before its first fill.';
    case 'curing': {
      if (!contents) return 'Curing.';
      const day = daysSince(Date.parse(contents.started_at), moment) + 1;
      return `Curing, day ${day}.`;
    }
    case 'ready':
      return contents ? 'Tight, and full of water.' : 'Tight. Ready for a fill.';
    case 'filled':
      if (!contents) return 'Filled.';
      return isOutline(contents)
        ? `A private fill, week ${week(contents, moment)}.`
        : `Week ${week(contents, moment)} of ${contentsName(contents)}.`;
    case 'held':
      if (barrel.water && isInSolution(barrel))
        return `Full of holding solution, made ${nearDayOf(Date.parse(barrel.water.changed_at), moment)}.`;
      return barrel.water ? `Wet hold. ${waterSentence(barrel.water.changed_at, moment)}` : 'Wet hold.';
    case 'empty':
      return since === null
        ? 'Empty, and drying.'
        : `Empty since ${nearDayOf(since, moment)}. An empty barrel dries.`;
    default:
      return since === null ? 'Retired.' : `Retired ${nearDayOf(since, moment)}.`;
  }
}

function waterSentence(changed_at: string, moment: Moment): string {
  const days = daysSince(Date.parse(changed_at), moment);
  if (days <= 0) return 'Its water was changed today.';
  if (days === 1) return 'Its water was changed yesterday.';
  return `Its water is ${days} days old.`;
}

/** "held", as filters and tables name a state. */
export const STATES: Record<Barrel['state'], string> = {
  new: 'New',
  curing: 'Curing',
  ready: 'Tight',
  filled: 'Filled',
  held: 'Wet hold',
  empty: 'Empty',
  retired: 'Retired',
};

/** Fills left of the spirit that matters now: what it holds, else what it held last. */
export function fillsLeft(barrel: Barrel): { spirit: string; low: number; high: number } | null {
  const wanted = [barrel.contents?.spirit, barrel.held_before.at(-1)?.spirit, 'whisky'];
  const spirit = wanted.find((kind) => kind && barrel.fills_left[kind]) ?? Object.keys(barrel.fills_left)[0];
  const range = spirit === undefined ? undefined : barrel.fills_left[spirit];
  if (spirit === undefined || range === undefined) return null;
  const [low = 0, high = low] = range;
  return { spirit, low: Math.max(0, Math.floor(low)), high: Math.max(0, Math.ceil(high)) };
}

/** "one to three", "about two", "none". */
export function fillsRange({ low, high }: { low: number; high: number }): string {
  if (high === 0) return 'none';
  if (low === 0) return high === 1 ? 'one at most' : `up to ${inWords(high)}`;
  return low === high ? `about ${inWords(low)}` : `${inWords(low)} to ${inWords(high)}`;
}

/** "wood for one to three more whisky fills" */
export function woodWords(barrel: Barrel): string {
  if (barrel.state === 'retired') return 'not for drink any more';
  if (barrel.wood_spent) return 'its wood is spent';
  const left = fillsLeft(barrel);
  if (!left) return 'wood not judged yet';
  if (left.high === 0) return 'its wood is spent';
  const kind = SPIRIT_FILLS[left.spirit] ?? '';
  const fill = kind ? `${kind} fill` : 'fill';
  // "More" than none yet would be one too many.
  const more = barrel.held_before.length > 0 || barrel.contents?.kind === 'fill' ? 'more ' : '';
  if (left.high === 1) return `wood for ${left.low === 0 ? 'at most one' : 'about one'} ${more}${fill}`;
  return `wood for ${fillsRange(left)} ${more}${fill}s`;
}

export function volumeWords(inside: InsideNow): string {
  return rangeText({ low: inside.volume_l.low, high: inside.volume_l.high, unit: 'L' });
}

/** "Yours, with Wick and the club." / "Two shares of six are yours." / "It belongs to Wick and Marl." */
export function sharersSentence(
  contents: Contents,
  me: string | null,
  nameOf: (id: string) => string,
): string | null {
  const { sharers } = contents;
  const club_weight = contents.club_weight ?? 0;
  if (sharers.length === 0) return null;
  const mine = sharers.find((share) => share.person === me);
  const others = sharers.filter((share) => share.person !== me).map((share) => nameOf(share.person));
  const rest = [...shortened(others), ...(club_weight > 0 ? ['the club'] : [])];
  if (!mine) return `It belongs to ${listed(rest)}.`;
  if (rest.length === 0) return 'Yours.';
  const whole = sharers.reduce((sum, share) => sum + share.weight, club_weight);
  const isEven =
    sharers.every((share) => share.weight === mine.weight) &&
    (club_weight === 0 || club_weight === mine.weight);
  if (isEven) return `Yours, with ${listed(rest)}.`;
  const shares = `${capital(inWords(mine.weight))} ${mine.weight === 1 ? 'share' : 'shares'} of ${inWords(whole)}`;
  return `${shares} ${mine.weight === 1 ? 'is' : 'are'} yours.`;
}

function shortened(names: string[]): string[] {
  if (names.length <= 4) return names;
  return [...names.slice(0, 3), `${inWords(names.length - 3)} more`];
}

export function initialsOf(people: string[]): Map<string, string> {
  const short = new Map<string, string>();
  for (const name of people) {
    const first = name.trim().charAt(0).toUpperCase();
    const isShared = people.some((other) => other !== name && other.trim().charAt(0).toUpperCase() === first);
    const rest = isShared ? (name.trim().split(/\s+/)[1]?.charAt(0) ?? name.trim().charAt(1)) : '';
    short.set(name, `${first}${rest}`);
  }
  return short;
}

/** What the picture of a barrel is drawn from. */
export function pictureOf(
  barrel: Barrel,
  now_ms: number,
  who?: { me: string | null; nameOf: (id: string) => string },
): BarrelPicture {
  const { contents, shape } = barrel;
  const inside = insideNow(barrel, now_ms);
  const isFill = contents?.kind === 'fill';
  const liquid = !contents ? 'empty' : !isFill ? 'water' : isPale(contents) ? 'pale' : 'spirit';
  const names = isFill && who ? contents.sharers.map((share) => who.nameOf(share.person)) : [];
  const initials = initialsOf(names);
  const sharers: PictureSharer[] =
    isFill && who
      ? contents.sharers.map((share) => ({
          initials: initials.get(who.nameOf(share.person)) ?? '',
          weight: share.weight,
          you: share.person === who.me,
        }))
      : [];
  // The club's own part of it stands in the ring as well, without a name.
  if (sharers.length > 0 && contents?.club_weight) {
    sharers.push({ initials: 'club', weight: contents.club_weight, you: false });
  }
  return {
    name: barrel.name,
    tag: barrel.tag_code,
    capacityL: barrel.capacity_l,
    contents: liquid,
    ...(contents && inside
      ? {
          levelLow: inside.level.low,
          levelHigh: inside.level.high,
          volumeLowL: inside.volume_l.low,
          volumeHighL: inside.volume_l.high,
        }
      : {}),
    hold: contents?.kind === 'hold',
    bungClock: barrel.bung_clock,
    ...(shape.stave_count ? { staveCount: shape.stave_count } : {}),
    ...(shape.stave_mm ? { staveFraction: shape.stave_mm / 10 / shape.bilge_diameter_cm } : {}),
    woodUsedLow: barrel.wood_spent ? 1 : barrel.wood_used.low,
    woodUsedHigh: barrel.wood_spent ? 1 : barrel.wood_used.high,
    woodWords: woodWords(barrel),
    ...(barrel.troubles[0] ? { wrong: `trouble: ${barrel.troubles[0].kind.replaceAll('_', ' ')}` } : {}),
    ...(sharers.length > 0 ? { sharers } : {}),
    quarantine: barrel.troubles.some((trouble) => trouble.quarantine),
    isPrivate: isOutline(contents),
  };
}

function isPale(contents: Contents): boolean {
  return contents.spirit === 'fortified_wine' || contents.family === 'neutral';
}

/** "heads 14 mm thick and set 12 mm deep, assumed"; null where nothing was. */
export function assumedWords(assumed: Barrel['shape']['assumed_mm']): string | null {
  const thick = assumed.head_mm === undefined ? null : `${unit(assumed.head_mm, 'mm')} thick`;
  const deep = assumed.chime_mm === undefined ? null : `set ${unit(assumed.chime_mm, 'mm')} deep`;
  const parts = [thick, deep].filter(Boolean);
  return parts.length > 0 ? `heads ${parts.join(' and ')}, assumed` : null;
}

/** "5 L, weighed"; "4.9 L, taped, heads 14 mm thick, assumed" */
export function capacityWords(barrel: Barrel): string {
  const how = { weighed: 'weighed', taped: 'taped', nominal: 'by name only' }[barrel.capacity_basis];
  const assumed = barrel.capacity_basis === 'taped' ? assumedWords(barrel.shape.assumed_mm ?? {}) : null;
  return [litres(barrel.capacity_l), how, assumed].filter(Boolean).join(', ');
}

/** Lifting a full barrel hurts people; the weight stands where the barrel is handled. */
export function liftingWords(barrel: Pick<Barrel, 'capacity_l' | 'mass_full_kg'>): string | null {
  const full = `${Math.round(barrel.mass_full_kg)}\u00a0kg full`;
  if (barrel.capacity_l >= 30) return `${full}: never lift it full.`;
  if (barrel.capacity_l >= 20) return `${full}: roll it, two to lift.`;
  return null;
}
