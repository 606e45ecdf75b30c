/** A taste: its entry, its sample and what must be said before it is saved. */

import type { Barrel, Contents, LogEntry, OffNote } from '~/api/types.ts';
import { signOf } from '~/outbox/off-notes.ts';
import { unit } from './numbers.ts';
import { typedNumber } from './typed.ts';

export const OAK_CHOICES = [
  { value: '-1', label: 'too little' },
  { value: '0', label: 'right' },
  { value: '1', label: 'too much' },
];

/** Ticked by anybody, the first three are trouble at the barrel with the taste itself. */
export const OFF_NOTES: { value: OffNote; label: string }[] = [
  { value: 'vinegar', label: 'Vinegar' },
  { value: 'musty', label: 'Must or mould' },
  { value: 'sulphur', label: 'Sulphur' },
  { value: 'plastic', label: 'Rubber or plastic' },
  { value: 'stale', label: 'Stale, like paper' },
  { value: 'sawdust', label: 'Sawdust' },
];

export type ProfileWord =
  | 'fresh_wood'
  | 'vanilla_spice'
  | 'char_smoke'
  | 'fruit'
  | 'base_character'
  | 'sharp'
  | 'sweet'
  | 'bitter'
  | 'drying'
  | 'heat'
  | 'body'
  | 'balance'
  | 'length';

/** The full profile, in the order in which it is met. General words, no wheel. */
export const PROFILE_GROUPS: { label: string; attributes: { value: ProfileWord; label: string }[] }[] = [
  {
    label: 'Nose',
    attributes: [
      { value: 'fresh_wood', label: 'Fresh wood' },
      { value: 'vanilla_spice', label: 'Vanilla, sweet spice' },
      { value: 'char_smoke', label: 'Toast, char, smoke' },
      { value: 'fruit', label: 'Fruit, dried fruit' },
      { value: 'base_character', label: 'Grain, cane, agave, grape, herb' },
      { value: 'sharp', label: 'Sharp, like solvent' },
    ],
  },
  {
    label: 'Mouth',
    attributes: [
      { value: 'sweet', label: 'Sweet' },
      { value: 'bitter', label: 'Bitter' },
      { value: 'drying', label: 'Drying' },
      { value: 'heat', label: 'Heat' },
      { value: 'body', label: 'Body' },
      { value: 'balance', label: 'Balance' },
    ],
  },
  { label: 'After', attributes: [{ value: 'length', label: 'Length' }] },
];

export type Profile = Partial<Record<ProfileWord, number>>;

export const isAlarming = (notes: readonly OffNote[]): boolean => signOf(notes) !== undefined;

/** What a taster holds so far; nothing has a start value but the sample. */
export interface TasteDraft {
  liking?: number;
  oak?: string;
  off_notes: OffNote[];
  note: string;
  sample_ml: number;
  profile?: Profile;
  /** As typed, in % vol; empty where it is served as it is. */
  strength?: string;
  is_spat?: boolean;
}

/** A usual sample: 5 mL from a barrel under 3 L, else 10 (common practice, no source). */
export function usualSampleMl(capacity_l: number): number {
  return capacity_l < 3 ? 5 : 10;
}

export interface TasteBody {
  barrel: string;
  fill: string;
  tasted_on: string;
  liking: number;
  oak?: -1 | 0 | 1;
  off_notes?: OffNote[];
  sample_ml: number;
  note?: string;
  profile?: Profile;
  strength_served_abv_pct?: number;
  is_spat?: boolean;
  position?: number;
}

/** The entry, or null while the rod is dry. What was not said is left out, never guessed. */
export function tasteBody(
  draft: TasteDraft,
  barrel: string,
  fill: string,
  day: string,
  position?: number,
): TasteBody | null {
  const said = saidOf(draft);
  if (!said) return null;
  return { barrel, fill, tasted_on: day, ...said, ...(position ? { position } : {}) };
}

/** What a taster said of one glass, whichever it is; null while the rod is dry. */
export function saidOf(draft: TasteDraft): Omit<TasteBody, 'barrel' | 'fill' | 'tasted_on'> | null {
  if (draft.liking === undefined) return null;
  const strength = draft.strength ? typedNumber(draft.strength) : null;
  const profile = draft.profile && Object.keys(draft.profile).length > 0 ? draft.profile : null;
  return {
    liking: Math.round(draft.liking * 10) / 10,
    ...(draft.oak === undefined ? {} : { oak: Number(draft.oak) as -1 | 0 | 1 }),
    ...(draft.off_notes.length > 0 ? { off_notes: draft.off_notes } : {}),
    sample_ml: draft.sample_ml,
    ...(draft.note.trim() ? { note: draft.note.trim() } : {}),
    ...(profile ? { profile } : {}),
    ...(strength !== null && strength >= 0 && strength <= 100 ? { strength_served_abv_pct: strength } : {}),
    ...(draft.is_spat ? { is_spat: true } : {}),
  };
}

type Budget = Pick<Contents, 'sample_used_ml' | 'sample_budget_ml'>;

/** "40 of 80 mL", or "75 of 38 mL: 37 mL over". What nobody gave a budget only says what was drunk. */
export function budgetWords(contents: Budget): string {
  const used = Math.round(contents.sample_used_ml);
  const all = Math.round(contents.sample_budget_ml);
  if (all === 0) return unit(used, 'mL');
  return used > all
    ? `${used} of ${unit(all, 'mL')}: ${unit(used - all, 'mL')} over`
    : `${used} of ${unit(all, 'mL')}`;
}

/** "Your 10 mL; 40 of 80 mL used." With it over what the fill has to taste, that is said, and nothing more. */
export function budgetSentence(contents: Budget, sample_ml: number): string {
  const used = Math.round(contents.sample_used_ml);
  const all = Math.round(contents.sample_budget_ml);
  const yours = `Your ${unit(sample_ml, 'mL')}`;
  if (all === 0 || used + sample_ml <= all) return `${yours}; ${budgetWords(contents)} used.`;
  if (used > all) return `${yours}; so far ${budgetWords(contents)}.`;
  return `${yours}; ${budgetWords(contents)} used, so it would be ${unit(Math.round(used + sample_ml - all), 'mL')} over.`;
}

type Tasted = Pick<LogEntry, 'collection' | 'stay' | 'is_head' | 'is_void' | 'body' | 'author' | 'subject'>;

function isTasteOf(entry: Tasted, fill: string): boolean {
  return entry.collection === 'tastings' && entry.is_head && !entry.is_void && entry.body?.fill === fill;
}

/** What this evening has taken from the fill so far. */
export function takenTodayMl(log: Tasted[], fill: string, day: string): number {
  return log
    .filter((entry) => isTasteOf(entry, fill) && entry.body?.tasted_on === day)
    .reduce((sum, entry) => sum + Number(entry.body?.sample_ml ?? 0), 0);
}

/** One evening may take one part in a hundred without a word; over three it is asked again. */
export interface EveningGuard {
  words: string;
  asksAgain: boolean;
}

export function eveningGuard(taken_ml: number, sample_ml: number, volume_l: number): EveningGuard | null {
  const share = (taken_ml + sample_ml) / (volume_l * 1000);
  const evening = unit(Math.round(taken_ml + sample_ml), 'mL');
  if (share > 0.03) {
    return {
      words: `This evening would take ${evening}, over 3 % of what is left. Is it worth it?`,
      asksAgain: true,
    };
  }
  if (share > 0.01)
    return { words: `This evening takes ${evening}, over 1 % of what is left.`, asksAgain: false };
  return null;
}

export interface OtherScore {
  person: string;
  liking: number;
  oak: number | null;
  day: string;
}

/** The last score of each of the others: shown only after one's own is saved. */
export function othersScores(log: Tasted[], fill: string, me: string): OtherScore[] {
  const last = new Map<string, OtherScore>();
  for (const entry of log) {
    const person = entry.subject ?? entry.author;
    if (!isTasteOf(entry, fill) || person === me || !entry.body) continue;
    const score = {
      person,
      liking: Number(entry.body.liking),
      oak: typeof entry.body.oak === 'number' ? entry.body.oak : null,
      day: String(entry.body.tasted_on),
    };
    const before = last.get(person);
    if (!before || before.day < score.day) last.set(person, score);
  }
  return [...last.values()].sort((a, b) => b.day.localeCompare(a.day) || a.person.localeCompare(b.person));
}

/** Whether this person has scored this fill on this day already: a second score would wait for the keeper. */
export function myScoreToday(
  log: (Tasted & { id: string })[],
  fill: string,
  day: string,
  me: string,
): string | null {
  const mine = log.find(
    (entry) =>
      isTasteOf(entry, fill) && (entry.subject ?? entry.author) === me && entry.body?.tasted_on === day,
  );
  return mine?.id ?? null;
}

const ALLERGENS: Record<string, string> = {
  gluten_cereals: 'gluten',
  peanut: 'peanuts',
  soya: 'soya',
  sulphites: 'sulphites',
};

export const allergenName = (name: string): string => ALLERGENS[name] ?? name.replaceAll('_', ' ');

/** What the fill, and the wood it lies in, may hold that somebody must not drink. */
export function allergenWords(barrel: Barrel): string[] {
  const all = new Set([...(barrel.contents?.allergens ?? []), ...barrel.allergens]);
  return [...all].map(allergenName);
}

type Correctable = Tasted & { id: string; barrel: string; happened_at: string; here: string };

/** Whether a line of the log is a score that its reader gave and may still correct. */
export function isMyTaste(
  line: Omit<Correctable, 'barrel'> & { placement: string },
  me: string | null,
): boolean {
  return (
    line.collection === 'tastings' &&
    line.is_head &&
    !line.is_void &&
    line.body !== null &&
    line.placement === 'placed' &&
    (line.here === 'sent' || line.here === 'on_this_phone') &&
    me !== null &&
    (line.subject ?? line.author) === me &&
    line.author === me
  );
}

const KEPT_FIELDS = [
  'barrel',
  'fill',
  'flight',
  'code',
  'tasted_on',
  'oak',
  'off_notes',
  'sample_ml',
  'replicate',
  'note',
  'profile',
  'strength_served_abv_pct',
  'is_spat',
  'position',
];

/** The same taste with another score, as a correction of the first; null for no score. */
export function correctedTaste(
  line: Pick<Correctable, 'id' | 'body' | 'happened_at'>,
  liking: number,
): Record<string, unknown> | null {
  if (!line.body || !(liking >= 0 && liking <= 10)) return null;
  const body = line.body as Record<string, unknown>;
  const kept = Object.fromEntries(KEPT_FIELDS.filter((field) => field in body).map((f) => [f, body[f]]));
  // The hour is that of the taste, not of the correction, and no device clock moves it again.
  return { ...kept, liking, happened_at: line.happened_at, time_typed: true, replaces: line.id };
}

const RAISED: Record<string, string> = { musty: 'Must', vinegar: 'Vinegar', rotten_egg: 'Sulphur' };

/** What the alarming notes of a taste have raised, or nothing. */
export function raisedWords(notes: readonly OffNote[], barrel: string, isSent: boolean): string | null {
  const sign = signOf(notes);
  if (!sign) return null;
  return `${RAISED[sign]}: this taste is trouble at ${barrel} now, and its people are told${isSent ? '' : ' when it is sent'}. Nobody tastes it until the keeper has looked.`;
}
