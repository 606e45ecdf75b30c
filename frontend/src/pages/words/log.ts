/** One line of a barrel's log in words. */

import type { Joint, LogEntry } from '~/api/types.ts';
import { scoreText } from '~/components/rod/words.ts';
import { FAMILIES } from './barrel.ts';
import { jointWords } from './curing.ts';
import { capital, listed, litres, unit } from './numbers.ts';
import { OFF_NOTES } from './taste.ts';
import { troubleLabel } from './trouble.ts';

type Body = Record<string, unknown>;

const text = (body: Body, field: string): string =>
  typeof body[field] === 'string' ? (body[field] as string) : '';
const list = (body: Body, field: string): string[] =>
  Array.isArray(body[field]) ? (body[field] as string[]) : [];

/** A quantity as it was sent: a number in the API's unit, or a text with its own. */
function quantity(value: unknown, name: string, decimals = 2): string {
  if (typeof value === 'number') return unit(Number(value.toFixed(decimals)), name);
  return typeof value === 'string' ? value : '';
}
const litresOf = (body: Body, field: string): string =>
  typeof body[field] === 'number' ? litres(body[field] as number) : quantity(body[field], 'L');

/** Small volumes read better in mL. */
function poured(body: Body, field: string): string {
  const value = body[field];
  return typeof value === 'number' && value < 1
    ? unit(Math.round(value * 1000), 'mL')
    : litresOf(body, field);
}

/** What a visit did, by its task. */
export const DONE: Record<string, string> = {
  roll: 'rolled',
  leak_check: 'looked at',
  spigot_check: 'spigot wiped',
  rinse: 'rinsed',
  water_change: 'water changed',
  top_up: 'topped up',
  sulphiting: 'sulphited',
};

const OUTCOMES: Record<string, string> = {
  mended: 'mended',
  sound: 'it was sound',
  rescued: 'the fill was rescued',
  part_lost: 'part of the fill was lost',
  all_lost: 'the fill was lost',
  found: 'it was found',
};

const JOINT_DONE: Record<Joint['state'], string> = {
  wiped: 'a joint wiped',
  dry: 'a joint stayed dry',
  beads: 'a joint beads again',
};

/** "Rolled, looked at, spigot wiped" with what was poured and where the bung stands. */
function tending(body: Body): string {
  const tasks = list(body, 'tasks').map((task) => DONE[task] ?? task.replaceAll('_', ' '));
  const parts = [tasks.length > 0 ? tasks.join(', ') : 'tended'];
  const joints = Array.isArray(body.joints) ? (body.joints as Joint[]) : [];
  for (const joint of joints) parts.push(`${JOINT_DONE[joint.state]}: ${jointWords(joint).toLowerCase()}`);
  if (body.volume_l !== undefined && body.volume_l !== null) parts.push(poured(body, 'volume_l'));
  const clock = body.bung_clock;
  if (typeof clock === 'number') parts.push(clock === 12 ? 'bung up' : `bung at ${clock} o’clock`);
  return `${capital(parts.join(', '))}${body.is_well === false ? '; something was not well' : ''}`;
}

function tasting(body: Body, who: string): string {
  const liking = Number(body.liking);
  const oak = { '-1': 'too little oak', '0': 'oak right', '1': 'too much oak' }[String(body.oak)];
  const off = list(body, 'off_notes').map((note) =>
    (OFF_NOTES.find((one) => one.value === note)?.label ?? note).toLowerCase(),
  );
  const parts = [
    `${who} gave ${scoreText(liking)}${text(body, 'code') ? `, blind as ${text(body, 'code')}` : ''}`,
    oak,
    off.length > 0 ? `something off: ${listed(off)}` : '',
  ];
  return parts.filter(Boolean).join(', ');
}

function reading(body: Body): string {
  switch (body.kind) {
    case 'weight':
      return `Weighed: ${quantity(body.mass_kg, 'kg')}`;
    case 'dip':
      return body.dip_mm === undefined
        ? `Dipped: ${litresOf(body, 'volume_l')}`
        : `Dipped: ${quantity(body.dip_mm, 'mm', 0)}`;
    case 'alcoholmeter':
      return `Alcoholmeter: ${quantity(body.abv_apparent_pct, '% vol', 1)} measured, apparent${
        body.temp_c === undefined ? '' : ` at ${quantity(body.temp_c, '°C', 1)}`
      }`;
    case 'so2_strip':
      return `Strip: ${quantity(body.so2_mg_l, 'mg/L', 0)} of sulphite`;
    default: {
      const damp = typeof body.rh === 'number' ? `, ${unit(Math.round(body.rh * 100), '%')} damp` : '';
      return `${quantity(body.temp_c, '°C', 1)}${damp}`;
    }
  }
}

function fill(body: Body): string {
  const parts = Array.isArray(body.parts) ? (body.parts as Body[]) : [];
  const whole = parts.reduce((sum, part) => sum + (typeof part.volume_l === 'number' ? part.volume_l : 0), 0);
  const volume = typeof body.volume_l === 'number' ? body.volume_l : whole;
  const name = text(body, 'name') || FAMILIES[text(body, 'family')] || 'a mix';
  const out = parts
    .filter((part) => text(part, 'vessel') !== '')
    .map((part) => `${litresOf(part, 'volume_l')} out of ${text(part, 'name')}`);
  const from = out.length > 0 ? `: ${listed(out)}` : '';
  return volume > 0 ? `Filled with ${litres(volume)} of ${name}${from}` : `Filled with ${name}${from}`;
}

/** "Bottled: 8 of 500 mL and 3 of 200 mL" */
function bottling(body: Body): string {
  const lines = Array.isArray(body.bottles) ? (body.bottles as Body[]) : [];
  const sizes = lines.map((line) => `${Number(line.count)} of ${unit(Number(line.size_ml), 'mL')}`);
  return sizes.length > 0 ? `Bottled: ${listed(sizes)}` : 'Bottled';
}

function bottleChange(body: Body, names: Names): string {
  switch (body.change) {
    case 'opened':
      return 'A bottle was opened';
    case 'level':
      return `A bottle: ${quantity(body.level_ml, 'mL', 0)} left`;
    case 'handed_over':
      return text(body, 'person')
        ? `A bottle was handed over to ${names.person(text(body, 'person'))}`
        : 'A bottle was handed over';
    case 'finished':
      return 'A bottle was finished';
    default:
      return 'A bottle broke';
  }
}

/** What a log line needs to know of names. */
export interface Names {
  person: (id: string) => string;
  place?: (id: string) => string;
}

/** The line itself: what happened, without a full stop; who and when stand beside it. */
export function logWhat(
  entry: Pick<LogEntry, 'collection' | 'body' | 'author' | 'subject'>,
  names: Names,
): string {
  const { body } = entry;
  if (!body) return PRIVATE[entry.collection] ?? 'Its sharers’ own entry';
  const who = names.person(entry.subject ?? entry.author);
  switch (entry.collection) {
    case 'curings':
      return `Curing began with ${litresOf(body, 'water_l')} of water`;
    case 'curing-verdicts':
      return body.verdict === 'tight' ? 'Found tight' : 'Curing given up';
    case 'fills':
      return fill(body);
    case 'decants':
      return `Decanted: ${litresOf(body, 'measured_volume_l')}`;
    case 'holds':
      return `Held wet with ${litresOf(body, 'water_l')} of ${body.is_solution ? 'solution' : 'water'}`;
    case 'drainings':
      return 'Drained';
    case 'tendings':
      return tending(body);
    case 'readings':
      return reading(body);
    case 'tastings':
      return tasting(body, who);
    case 'samples':
      return body.flight
        ? `${quantity(body.sample_ml, 'mL')} poured blind and scored by nobody`
        : `${quantity(body.sample_ml, 'mL')} drawn, scored by nobody`;
    case 'blind-tastings':
      return `${who} gave glass ${text(body, 'code')} ${scoreText(Number(body.liking))}`;
    case 'moves':
      return names.place ? `Moved to ${names.place(text(body, 'place'))}` : 'Moved';
    case 'ownerships': {
      const owners = Array.isArray(body.shares) ? (body.shares as { person: string }[]) : [];
      return owners.length === 0
        ? 'The club owns its wood'
        : `Its wood belongs to ${listed(owners.map((share) => names.person(share.person)))}`;
    }
    case 'retirements':
      return `Retired: ${text(body, 'reason')}`;
    case 'repairs':
      return body.kind === 'retoast' ? 'Toasted anew' : 'Scraped and charred anew';
    case 'loans':
      return `Lent to ${text(body, 'borrower')}`;
    case 'loan-returns':
      return 'Back from its loan';
    case 'tag-issues':
      return 'Given another tag';
    case 'troubles':
      return `Trouble: ${troubleLabel(text(body, 'kind')).toLowerCase()}`;
    case 'trouble-settlements':
      return `Trouble settled: ${OUTCOMES[text(body, 'outcome')] ?? text(body, 'outcome')}`;
    case 'pull-votes':
      return body.choice === 'pull' ? `${who} says pull it` : `${who} says wait`;
    case 'pulls':
      return 'To be pulled';
    case 'bottlings':
      return bottling(body);
    case 'bottle-changes':
      return bottleChange(body, names);
    case 'blends':
      return `Blended into ${text(body, 'name')}`;
    case 'discards':
      return `Poured away ${poured(body, 'volume_l')}: ${text(body, 'reason')}`;
    case 'voids':
      return `Taken back: ${text(body, 'reason')}`;
    case 'barrels':
      return 'Registered';
    case 'reservations':
      return `Asked for ${text(body, 'fill_name') || 'a fill'}`;
    default:
      return capital(entry.collection.replaceAll('-', ' '));
  }
}

const PRIVATE: Record<string, string> = {
  fills: 'A private fill began',
  tastings: 'A private taste',
  samples: 'A private sample',
  'blind-tastings': 'A blind score',
  decants: 'The private fill was decanted',
  'pull-votes': 'A sharer’s own word',
  pulls: 'The private fill is to be pulled',
  bottlings: 'The private fill was bottled',
};

/** Groups a reader can ask for. */
export const LOG_GROUPS: { value: string; label: string; holds: string[] | null }[] = [
  { value: 'all', label: 'Everything', holds: null },
  { value: 'tastes', label: 'Tastes', holds: ['tastings', 'samples'] },
  { value: 'care', label: 'Care', holds: ['tendings', 'readings', 'troubles', 'trouble-settlements'] },
  {
    value: 'contents',
    label: 'Fills and water',
    holds: [
      'fills',
      'pull-votes',
      'pulls',
      'decants',
      'bottlings',
      'discards',
      'holds',
      'drainings',
      'curings',
      'curing-verdicts',
    ],
  },
];
