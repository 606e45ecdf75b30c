/** The club's settings in words, and what was typed as the change that is sent. */

import type { Club } from '~/api/types.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { isUnsent } from '~/outbox/entry.ts';
import { WHO_DRINK_G } from './drink.ts';
import { type LawAnswer, lawAnswer } from './law.ts';
import { unit } from './numbers.ts';
import { typedNumber } from './typed.ts';

/** An edit that waits was made against the row as it stood: a second one would contradict it. */
export function isClubWaiting(row: Pick<Club, 'version'>, entries: readonly OutboxEntry[]): boolean {
  return entries.some(
    (entry) =>
      entry.collection === 'club' &&
      (isUnsent(entry) || (entry.state === 'done' && (entry.base_version ?? 0) >= row.version)),
  );
}

/** The row with what this phone changed and the server has not said yet. */
export function withWaiting(row: Club, entries: readonly OutboxEntry[]): Club {
  const shown = { ...row };
  for (const { collection, state, base_version, body } of entries) {
    const isOnItsWay = state === 'queued' || state === 'sending' || state === 'done';
    if (collection !== 'club' || !isOnItsWay || (base_version ?? 0) < row.version) continue;
    const { care: _, ...rest } = body;
    Object.assign(shown, rest);
    const size = row.drink_sizes?.find((one) => one.country === rest.drink_country);
    if (size) shown.drink_g = size.grams;
  }
  return shown;
}

const COUNTRIES: Record<string, string> = {
  WHO: 'the World Health Organization',
  AT: 'Austria',
  AU: 'Australia',
  CA: 'Canada',
  GB: 'the United Kingdom',
  JP: 'Japan',
  US: 'the United States',
};

export const countryWords = (code: string): string => COUNTRIES[code] ?? code;

/** "8 g of alcohol, as in the United Kingdom." */
export function drinkWords(row: Pick<Club, 'drink_country' | 'drink_g'>): string {
  // A row that was read before the server knew of drinks says nothing of them.
  if (!row.drink_country) return `${unit(WHO_DRINK_G, 'g')} of alcohol, until the club is read anew.`;
  const whose = `${row.drink_country === 'WHO' ? 'by' : 'as in'} ${countryWords(row.drink_country)}`;
  return `${unit(row.drink_g, 'g')} of alcohol, ${whose}. Countries call 8 to 20 g a drink; it says nothing of how many are safe.`;
}

/** "Australia, 10 g", by name. */
export function drinkOptions(sizes: Club['drink_sizes'] | undefined): { value: string; label: string }[] {
  return (sizes ?? [])
    .map(({ country, grams }) => {
      const name = countryWords(country).replace(/^the /, '');
      return { value: country, label: `${name}, ${unit(grams, 'g')}` };
    })
    .sort((a, b) => a.label.localeCompare(b.label));
}

export const PULL_BY: { value: Club['pull_by']; label: string }[] = [
  { value: 'keeper', label: 'The keeper' },
  { value: 'sharers', label: 'Its sharers too' },
];

export const pullWords = (by: Club['pull_by']): string =>
  by === 'sharers'
    ? 'The keeper, the barrel’s owners, and its sharers once more than half of the shares are for it.'
    : 'The keeper and the barrel’s owners; its sharers are heard.';

export const MAY = [
  { field: 'members_may_tend', label: 'Every member may tend barrels', not: 'Members tend only their own.' },
  {
    field: 'sharers_may_fill',
    label: 'Sharers may fill, decant and bottle what is theirs',
    not: 'Only keepers and owners fill and decant.',
  },
  {
    field: 'members_may_taste_all',
    label: 'Every member may taste an open fill',
    not: 'A fill is tasted by its sharers only.',
  },
] as const;

/** What members may do, one sentence a setting. */
export const mayWords = (row: Club): string[] =>
  MAY.map((one) => (row[one.field] ? `${one.label}.` : one.not));

interface Figure {
  field: 'sample_budget_pct' | 'pencil_days' | 'turnaround_days';
  label: string;
  unit: string;
  low: number;
  high: number;
  isWhole: boolean;
  hint: string;
}

export const FIGURES: readonly Figure[] = [
  {
    field: 'sample_budget_pct',
    label: 'Of a fill, for samples',
    unit: '%',
    low: 0,
    high: 50,
    isWhole: false,
    hint: 'Holds for fills from now on.',
  },
  {
    field: 'pencil_days',
    label: 'A reservation stays pencilled for',
    unit: 'days',
    low: 1,
    high: 90,
    isWhole: true,
    hint: 'Then it lapses, unless somebody confirms it.',
  },
  {
    field: 'turnaround_days',
    label: 'Kept free between two fills',
    unit: 'days',
    low: 0,
    high: 30,
    isWhole: true,
    hint: 'For rinsing, looking and refilling.',
  },
];

const daysWords = (count: number): string => unit(count, count === 1 ? 'day' : 'days');

export const figuresWords = (row: Club): string =>
  `${unit(row.sample_budget_pct, '%')} of a fill is for samples. A reservation stays pencilled for ${daysWords(row.pencil_days)}; ${daysWords(row.turnaround_days)} ${row.turnaround_days === 1 ? 'is' : 'are'} kept free between two fills.`;

type Typed = Partial<Record<Figure['field'], string>>;

/** What was typed as figures, or what is wrong with it by field. */
export function typedFigures(
  row: Club,
  typed: Typed,
): { changes: Partial<Record<Figure['field'], number>>; wrong: Typed } {
  const changes: Partial<Record<Figure['field'], number>> = {};
  const wrong: Typed = {};
  for (const { field, low, high, isWhole } of FIGURES) {
    const text = typed[field];
    if (text === undefined) continue;
    const value = typedNumber(text);
    if (value === null || value < low || value > high || (isWhole && !Number.isInteger(value))) {
      wrong[field] = isWhole ? 'A whole number is wanted.' : 'That is no such share.';
    } else if (value !== row[field]) changes[field] = value;
  }
  return { changes, wrong };
}

/** "For the club alone. District council, asked 14 August 2025." */
export function lawWords(law: Readonly<Record<string, unknown>>, key: string): string | null {
  const said: LawAnswer | null = lawAnswer(law, key);
  if (!said) return null;
  const asked = said.asked_on ? `asked ${askedOn(said.asked_on)}` : '';
  const where = [said.source ?? '', asked].filter(Boolean).join(', ');
  return [said.answer, where].filter(Boolean).map(sentence).join(' ');
}

const sentence = (words: string): string =>
  `${words.charAt(0).toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? '' : '.'}`;

const DAY = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'long',
  year: 'numeric',
  timeZone: 'UTC',
});

function askedOn(day: string): string {
  return /^\d{4}-\d{2}-\d{2}$/.test(day)
    ? DAY.format(Date.parse(`${day}T12:00:00Z`)).replaceAll(' ', '\u00a0')
    : day;
}

export function currencyWrong(code: string): string | undefined {
  return /^[A-Z]{3}$/.test(code) ? undefined : 'Three capital letters, as EUR or GBP.';
}

/** The zones that this device knows, the club's own among them. */
export function zones(current: string): string[] {
  const known = typeof Intl.supportedValuesOf === 'function' ? Intl.supportedValuesOf('timeZone') : [];
  return [...new Set(['UTC', current, ...known])].sort((a, b) => a.localeCompare(b));
}
