/** An entry of this phone in words: what it says, whoever it waits for. */

import type { Problem } from '~/api/errors.ts';
import type { LogEntry } from '~/api/types.ts';
import { scoreText } from '~/components/rod/words.ts';
import { logWhat, type Names } from './log.ts';
import { dayMonth } from './time.ts';
import { typedNumber } from './typed.ts';

/** What the words need of an entry kept here. */
export interface KeptEntry {
  collection: string;
  body: Record<string, unknown>;
  author: string;
}

/** "Taste of Slack Water, 7.5" · "Fetch: topped up, 400 mL" */
export function entryTitle(entry: KeptEntry, barrel: string | null, names: Names): string {
  const { body } = entry;
  switch (entry.collection) {
    case 'tastings':
      return `Taste of ${barrel ?? 'a barrel'}, ${scoreText(Number(body.liking))}`;
    case 'reservations':
      return `${barrel ?? 'A barrel'} from ${dayMonth(String(body.starts_on))}, ${String(body.fill_name ?? 'a fill')}`;
    case 'reservation-decisions':
      return 'A reservation decided';
    case 'troubles':
      return `${barrel ?? 'A barrel'}: ${logWhat(asLine(entry), names).toLowerCase()}`;
    case 'voids':
      return 'An entry taken back';
    case 'photo-removals':
      return 'A photo taken back';
    case 'tray-decisions':
      return 'An entry left as it is';
    case 'club':
      return 'The club’s settings';
    case 'people':
      return `${String(body.name ?? 'A member')}, member`;
    case 'recipes':
      return typeof body.name === 'string' ? `Recipe: ${body.name}` : 'A recipe changed';
    case 'flights':
      return 'A blind flight';
    case 'blind-tastings':
      return `Glass ${String(body.code)}, ${scoreText(Number(body.liking))}`;
    case 'flight-closings':
      return 'The names of a blind flight';
    case 'flight-cancellations':
      return 'A blind flight called off';
    case 'places':
      return `${String(body.name ?? 'A place')}, place`;
    case 'barrels':
      return `${String(body.name ?? barrel ?? 'A barrel')}, its particulars`;
    default: {
      const what = logWhat(asLine(entry), names);
      return barrel ? `${barrel}: ${what.charAt(0).toLowerCase()}${what.slice(1)}` : what;
    }
  }
}

function asLine(entry: KeptEntry): Pick<LogEntry, 'collection' | 'body' | 'author' | 'subject'> {
  return { collection: entry.collection, body: entry.body, author: entry.author, subject: null };
}

interface Mendable {
  field: string;
  label: string;
  unit?: string;
  kind: 'number' | 'date' | 'text';
}

const LABELS: Mendable[] = [
  { field: 'liking', label: 'Score', kind: 'number' },
  { field: 'code', label: 'Number on the glass', kind: 'text' },
  { field: 'sample_ml', label: 'Sample', unit: 'mL', kind: 'number' },
  { field: 'tasted_on', label: 'Tasted on', kind: 'date' },
  { field: 'volume_l', label: 'Volume', unit: 'L', kind: 'number' },
  { field: 'water_l', label: 'Water', unit: 'L', kind: 'number' },
  { field: 'measured_volume_l', label: 'Measured', unit: 'L', kind: 'number' },
  { field: 'spirit_dose_ml', label: 'Dose of spirit', unit: 'mL', kind: 'number' },
  { field: 'abv_pct', label: 'Strength', unit: '% vol', kind: 'number' },
  { field: 'abv_apparent_pct', label: 'Reading', unit: '% vol', kind: 'number' },
  { field: 'mass_kg', label: 'Weight', unit: 'kg', kind: 'number' },
  { field: 'so2_mg_l', label: 'Sulphite', unit: 'mg/L', kind: 'number' },
  { field: 'full_mass_kg', label: 'Full weight', unit: 'kg', kind: 'number' },
  { field: 'dry_mass_kg', label: 'Dry weight', unit: 'kg', kind: 'number' },
  { field: 'wet_mass_kg', label: 'Wet weight', unit: 'kg', kind: 'number' },
  { field: 'water_temp_c', label: 'The water’s temperature', unit: '°C', kind: 'number' },
  { field: 'weighed_capacity_l', label: 'Weighed capacity', unit: 'L', kind: 'number' },
  { field: 'dip_mm', label: 'Dip', unit: 'mm', kind: 'number' },
  { field: 'temp_c', label: 'Temperature', unit: '°C', kind: 'number' },
  { field: 'bung_clock', label: 'Bung at', unit: 'o’clock', kind: 'number' },
  { field: 'starts_on', label: 'From', kind: 'date' },
  { field: 'ends_on', label: 'Free again on', kind: 'date' },
  { field: 'fill_name', label: 'Its name', kind: 'text' },
  { field: 'name', label: 'Name', kind: 'text' },
  { field: 'reason', label: 'Why', kind: 'text' },
  { field: 'note', label: 'A note', kind: 'text' },
];

export interface MendField extends Mendable {
  value: string;
  /** What the server said of it. */
  detail: string;
  allowed: string;
}

/** The fields of a refused entry that somebody can type anew, the wrong ones first. */
export function mendFields(entry: { body: Record<string, unknown>; problem: Problem | null }): MendField[] {
  const told = (field: string) => entry.problem?.fields.find((one) => one.field === field);
  return LABELS.filter(({ field }) => field in entry.body || told(field))
    .map((one) => ({
      ...one,
      value:
        entry.body[one.field] === undefined || entry.body[one.field] === null
          ? ''
          : String(entry.body[one.field]),
      detail: told(one.field)?.detail ?? '',
      allowed: told(one.field)?.allowed ?? '',
    }))
    .sort((a, b) => Number(b.detail !== '') - Number(a.detail !== ''));
}

/** The body with what was typed; a number must be one, and an emptied field is left out. */
export function mended(
  body: Record<string, unknown>,
  fields: MendField[],
  typed: Record<string, string>,
): { ok: true; body: Record<string, unknown> } | { ok: false; detail: string } {
  const next = { ...body };
  for (const one of fields) {
    const text = (typed[one.field] ?? '').trim();
    if (text === one.value) continue;
    if (text === '') delete next[one.field];
    else if (one.kind !== 'number') next[one.field] = text;
    else {
      const value = typedNumber(text);
      if (value === null) return { ok: false, detail: `${one.label}: “${text}” is no number.` };
      next[one.field] = value;
    }
  }
  return { ok: true, body: next };
}
