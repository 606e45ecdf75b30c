/** The cellar report in sentences, and the order of its table. */

import type { Report, ReportLine } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import { HARMFUL, taskShort } from './care.ts';
import { capital, counted, inWords, listed } from './numbers.ts';
import { type Moment, nearDayOf, shortDay } from './time.ts';
import { troubleVerdict } from './trouble.ts';

/** "Seven fills hold about 73 litres, 36 to 37 of them pure alcohol. Air, wood and samples have taken 4 to 6." */
export function stockSentence({ totals }: Report): string {
  if (totals.filled === 0) return 'No barrel holds a fill now.';
  const volume = rangeText({ low: totals.volume_l.low, high: totals.volume_l.high, unit: '' });
  const alcohol = rangeText({ low: totals.pure_alcohol_l.low, high: totals.pure_alcohol_l.high, unit: '' });
  const lost = rangeText({ low: totals.lost_l.low, high: totals.lost_l.high, unit: '' });
  const fills = capital(counted(totals.filled, 'fill holds', 'fills hold'));
  return `${fills} ${volume} litres, ${alcohol} of them pure alcohol. Air, wood and samples have taken ${lost}, as barrels this small do.`;
}

/** What the wood and the water say of the months ahead. */
export function woodSentence(report: Report): string {
  const active = report.barrels.filter((line) => line.state !== 'retired');
  const spent = active.filter((line) => mostLeft(line) === 0);
  const last = active.filter((line) => {
    const most = mostLeft(line);
    return most !== null && most > 0 && most <= 1;
  });
  const parts: string[] = [];
  const { curing, held } = report.totals;
  const resting = [
    held > 0 ? counted(held, 'barrel rests', 'barrels rest') : '',
    curing > 0 ? `${inWords(curing)} ${curing === 1 ? 'is' : 'are'} curing` : '',
  ].filter(Boolean);
  if (held > 0) parts.push(`${capital(resting[0]!)} in water${curing > 0 ? `, ${resting[1]}` : ''}.`);
  else if (curing > 0) parts.push(`${capital(counted(curing, 'barrel is', 'barrels are'))} curing.`);
  if (spent.length > 0) parts.push(`The wood of ${listed(spent.map((line) => line.name))} is spent.`);
  if (last.length > 0) {
    parts.push(
      `${listed(last.map((line) => line.name))} ${last.length === 1 ? 'has' : 'have'} wood for one more fill at most.`,
    );
  }
  if (spent.length === 0 && last.length === 0) parts.push('Every barrel has wood for more than one fill.');
  return parts.join(' ');
}

function mostLeft(line: ReportLine): number | null {
  const range = fillsRange(line);
  return range ? Math.ceil(range[1]) : null;
}

function fillsRange(line: ReportLine): [number, number] | null {
  const kind =
    line.spirit && line.fills_left[line.spirit] ? line.spirit : line.fills_left.whisky ? 'whisky' : null;
  const key = kind ?? Object.keys(line.fills_left)[0];
  const [low = 0, high = low] = (key === undefined ? undefined : line.fills_left[key]) ?? [];
  return key === undefined ? null : [low, high];
}

/** The kind of spirit that a line's wood is counted in. */
export function woodCell(line: ReportLine): string {
  const range = fillsRange(line);
  if (!range || line.state === 'retired') return '';
  const low = Math.max(0, Math.floor(range[0]));
  const high = Math.max(0, Math.ceil(range[1]));
  if (high === 0) return 'none';
  return low === high ? `about ${low} ${low === 1 ? 'fill' : 'fills'}` : `${low} to ${high} fills`;
}

/** All kinds, for the line's own sheet: "whisky 1 to 3, rum 2 to 4". */
export function woodByKind(line: ReportLine): string {
  return Object.entries(line.fills_left)
    .map(
      ([kind, [low = 0, high = low]]) =>
        `${kind.replaceAll('_', ' ')} ${Math.floor(low)} to ${Math.ceil(high)}`,
    )
    .join(', ');
}

/** What is wrong, worst first: "Overfall leaks. Neap's water is 16 days old." Null when all is well. */
export function wrongSentence(report: Report): string | null {
  const parts: string[] = [];
  for (const line of report.barrels) {
    for (const kind of line.troubles) parts.push(`${line.name}: ${lower(troubleVerdict(kind))}`);
  }
  for (const line of report.barrels) {
    const isLate = line.overdue.some((one) => one.task === 'water_change');
    if (isLate && line.water)
      parts.push(`${line.name}’s water is ${Math.floor(line.water.days_since_change)} days old.`);
    if (line.overdue.some((one) => one.task === 'wet_or_fill'))
      parts.push(`${line.name} is empty and drying.`);
  }
  if (parts.length === 0) return null;
  const shown = parts.slice(0, 4);
  if (parts.length > 4) shown.push(`${capital(inWords(parts.length - 4))} more below.`);
  return shown.join(' ');
}

const lower = (sentence: string): string => sentence.charAt(0).toLowerCase() + sentence.slice(1);

const howMany = (count: number): string => (count === 0 ? 'none' : inWords(count));

type Hits = NonNullable<Report['forecasts']['pull_week']>;

/** What a count of hits is worth: four in five should be inside. Under thirty outcomes nobody can say. */
function judged({ n, verdict }: Hits): string {
  switch (verdict) {
    case 'holds':
      return 'Four in five should, so they hold.';
    case 'narrow':
      return 'Four in five should: forecasts are surer of themselves than they may be.';
    case 'wide':
      return 'Four in five should: forecasts could be bolder.';
    default:
      return n < 10 ? 'Too few to judge them by.' : 'Thirty are needed to judge them by.';
  }
}

/** How honest the forecasts of best weeks were, one sentence a ledger; the two are never mixed. */
export function honestySentences(found: Report['forecasts'] | undefined): string[] {
  if (!found) return [];
  const { pull_week, next_score } = found;
  const said: string[] = [];
  if (pull_week) {
    const fills = counted(pull_week.n, 'fill', 'fills');
    const were = pull_week.hits === 1 ? 'was' : 'were';
    said.push(
      `Of ${fills} pulled for ${pull_week.n === 1 ? 'its' : 'their'} taste ${howMany(pull_week.hits)} ${were} pulled within the weeks foretold. ${judged(pull_week)} Whoever pulls has read the forecast, which flatters it.`,
    );
  }
  if (next_score) {
    const scores = counted(next_score.n, 'score', 'scores');
    said.push(`Of ${scores} ${howMany(next_score.hits)} came where expected. ${judged(next_score)}`);
  }
  return said.length > 0
    ? said
    : ['No fill with a forecast was pulled for its taste yet: how well forecasts hold cannot be told.'];
}

/** One line's care in a few words, and how loud. */
export function careCell(line: ReportLine, moment: Moment): { words: string; tone: 'red' | 'due' | '' } {
  const [trouble] = line.troubles;
  if (trouble) return { words: lower(troubleVerdict(trouble)).replace(/\.$/, ''), tone: 'red' };
  const harm = (one: { task: string }): number => {
    const place = HARMFUL.indexOf(one.task);
    return place < 0 ? HARMFUL.length : place;
  };
  const [first] = [...line.overdue].sort((a, b) => harm(a) - harm(b));
  if (first) {
    if (first.task === 'water_change' && line.water) {
      return { words: `water ${Math.floor(line.water.days_since_change)} days, late`, tone: 'red' };
    }
    const more = line.overdue.length > 1 ? ` and ${line.overdue.length - 1} more` : '';
    return {
      words: `${taskShort(first.task)} since ${nearDayOf(Date.parse(first.due_at), moment)}${more}`,
      tone: 'due',
    };
  }
  if (line.state === 'retired') return { words: '', tone: '' };
  return { words: waterCell(line, moment) || 'in order', tone: '' };
}

/** How old a hold's water is and when it wants topping up: "water 4 days, top up 19 Dec". */
export function waterCell(line: ReportLine, moment: Moment): string {
  if (!line.water) return '';
  const days = Math.floor(line.water.days_since_change);
  const changed = days < 1 ? 'water changed today' : `water ${days} ${days === 1 ? 'day' : 'days'}`;
  return [changed, topUpCell(line, moment)].filter(Boolean).join(', ');
}

const SOON_MS = 30 * 86_400_000;

/** A level that is late already, or that the weekly water keeps up, has no day of its own. */
function topUpCell(line: ReportLine, moment: Moment): string {
  const isLate = line.overdue.some((one) => one.task === 'top_up' || one.task === 'water_change');
  const day = line.water?.top_up_on;
  const isSoon = day && Date.parse(day) < moment.now_ms + SOON_MS;
  return day && isSoon && !isLate ? `top up ${shortDay(day)}` : '';
}

/** What a late line's care leaves unsaid of its water. */
export function waterBeside(line: ReportLine, care: string, moment: Moment): string {
  return care.startsWith('water ') ? topUpCell(line, moment) : waterCell(line, moment);
}

/** "68 to 84 % used"; wood past its life is simply spent. */
export function usedWords({ wood_used }: ReportLine): string {
  if (wood_used.high === 0) return 'none used';
  if (wood_used.low >= 1) return 'all used';
  const high = Math.min(1, wood_used.high);
  return `${rangeText({ low: 100 * wood_used.low, high: 100 * high, unit: '%' })} used`;
}

/** The next fill; "twice" when two want the same days. */
export function nextCell(line: ReportLine, isContested = false): string {
  const next = line.next_reservation;
  if (next) {
    const how = isContested ? ', twice' : next.state === 'pencilled' ? ', pencilled' : '';
    return `${shortDay(next.starts_on)}${how}`;
  }
  return line.state === 'retired' ? '' : 'free';
}

export type SortKey =
  | 'name'
  | 'capacity'
  | 'holds'
  | 'days'
  | 'volume'
  | 'abv'
  | 'lost'
  | 'wood'
  | 'care'
  | 'next';

/** In the order of the columns; the first press of a heading sorts the way that is asked for most. */
export const SORTS: { key: SortKey; label: string; down: boolean }[] = [
  { key: 'name', label: 'Name', down: false },
  { key: 'capacity', label: 'Size', down: true },
  { key: 'holds', label: 'What it holds', down: false },
  { key: 'days', label: 'Day in the wood', down: true },
  { key: 'volume', label: 'Litres', down: true },
  { key: 'abv', label: 'Strength', down: true },
  { key: 'lost', label: 'Lost', down: true },
  { key: 'wood', label: 'Wood left', down: false },
  { key: 'care', label: 'Care', down: true },
  { key: 'next', label: 'Next fill', down: false },
];

function sortValue(line: ReportLine, key: SortKey): number | string | null {
  switch (key) {
    case 'name':
      return line.name;
    case 'capacity':
      return line.capacity_l;
    case 'holds':
      return line.holds_now;
    case 'days':
      return line.days;
    case 'volume':
      return line.volume_l?.mid ?? null;
    case 'abv':
      return line.abv_pct?.mid ?? null;
    case 'lost':
      return line.loss_pct ? (line.loss_pct.low + line.loss_pct.high) / 2 : null;
    case 'wood': {
      const range = fillsRange(line);
      return range ? range[0] + range[1] : null;
    }
    case 'care':
      return line.troubles.length * 100 + line.overdue.length;
    default:
      return line.next_reservation?.starts_on ?? null;
  }
}

/** Sorts by one column; what has no figure there stays at the foot in both directions, ties go by name. */
export function sortedLines(lines: ReportLine[], key: SortKey, down: boolean): ReportLine[] {
  const sign = down ? -1 : 1;
  return [...lines].sort((a, b) => {
    const x = sortValue(a, key);
    const y = sortValue(b, key);
    if (x === null || y === null) {
      if (x !== y) return x === null ? 1 : -1;
      return a.name.localeCompare(b.name);
    }
    const order = typeof x === 'number' && typeof y === 'number' ? x - y : String(x).localeCompare(String(y));
    return sign * order || a.name.localeCompare(b.name);
  });
}

/** The server's own name of a column, for those that both can order by; else by name. */
const CSV_ORDERS: Partial<Record<SortKey, string>> = {
  capacity: 'capacity_l',
  days: 'days',
  volume: 'volume_l',
  abv: 'abv_pct',
  lost: 'loss_pct',
};

export function csvOrder(key: SortKey, down: boolean): string {
  const name = CSV_ORDERS[key];
  if (!name) return key === 'name' && down ? '-name' : '';
  return down ? `-${name}` : name;
}

export interface ReportFilter {
  place: string;
  state: string;
}

export function filteredLines(lines: ReportLine[], { place, state }: ReportFilter): ReportLine[] {
  return lines.filter((line) => (!place || line.place === place) && (!state || line.state === state));
}
