/** A correction of a whole entry: what can be said anew of a fill, a verdict, a taste or a tending. */

import type { Allergen, Ingredient } from '~/api/types.ts';
import { isPlaced } from '~/outbox/line.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import { dayIn } from '~/science/dates.ts';
import { typedNumber } from './typed.ts';

type Body = Record<string, unknown>;

/** One thing that was poured in, as the entry has it; what is not asked for here stays beside it. */
export interface SaidPart extends Body {
  name: string;
  kind?: Ingredient | null;
  volume_l?: number | null;
  mass_kg?: number | null;
  abv_pct: number;
  sugar_g_l?: number | null;
  supplied_by?: string | null;
  cost_minor?: number | null;
  allergens?: Allergen[] | null;
  vessel?: string | null;
}

/** What taking an entry back does, before it is done. */
export function takeBackNote(collection: string): string {
  const note = 'It stays readable in the log, struck through.';
  return collection === 'retirements'
    ? `${note} The reservations that retiring ended come back where their days are still ahead, and who had them is told.`
    : note;
}

export const NO_AMOUNT = 'How much was poured?';
export const MOST_PARTS = 12;

export const partsOf = (body: Body): SaidPart[] =>
  Array.isArray(body.parts) ? (body.parts as SaidPart[]) : [];

const isWeighed = (part: SaidPart): boolean => typeof part.mass_kg === 'number';

/** The amount as it was measured: by the scale where there was one. */
export function partAmount(part: SaidPart): { value: number | null; unit: 'kg' | 'L' } {
  return isWeighed(part)
    ? { value: part.mass_kg ?? null, unit: 'kg' }
    : { value: part.volume_l ?? null, unit: 'L' };
}

/** Another amount of a part. What it cost grows with it; litres that came from a weight are worked out anew. */
export function withAmount(part: SaidPart, amount: number): SaidPart {
  const before = partAmount(part).value;
  const cost =
    typeof part.cost_minor === 'number' && before
      ? { cost_minor: Math.round((part.cost_minor * amount) / before) }
      : {};
  return isWeighed(part)
    ? { ...withoutLitres(part), ...cost, mass_kg: amount }
    : { ...part, ...cost, volume_l: amount };
}

/** Another strength or sweetness: a weight then means other litres. */
export function withLabel(part: SaidPart, label: Partial<SaidPart>): SaidPart {
  const next = { ...part, ...label };
  return isWeighed(part) && ('abv_pct' in label || 'sugar_g_l' in label) ? withoutLitres(next) : next;
}

function withoutLitres(part: SaidPart): SaidPart {
  const { volume_l: _worked_out, ...rest } = part;
  return rest as SaidPart;
}

/** Why the parts cannot be a fill, or nothing. */
export function partsWrong(parts: readonly SaidPart[]): string {
  if (parts.length === 0) return 'Nothing was poured.';
  const nameless = parts.find((part) => part.name.trim() === '');
  if (nameless) return 'Give each part its name.';
  const empty = parts.find((part) => !partAmount(part).value);
  return empty ? `${empty.name}: ${NO_AMOUNT.toLowerCase()}` : '';
}

/** Why a visit cannot be corrected to this, or nothing. */
export const tasksWrong = (body: Body): string =>
  Array.isArray(body.tasks) && body.tasks.length > 0
    ? ''
    : 'Tick what was done. Was nothing done, take the entry back.';

const DAYS_A_WEEK = 7;

export const weeksOf = (body: Body): number | null =>
  typeof body.planned_days === 'number' ? body.planned_days / DAYS_A_WEEK : null;

export const plannedDays = (weeks: number | null): number | undefined =>
  weeks === null ? undefined : Math.max(1, Math.round(weeks * DAYS_A_WEEK));

/** What somebody types of a verdict. */
export interface SaidVerdict {
  verdict: 'tight' | 'given_up';
  full: string;
  wet: string;
  temp: string;
  reason: string;
}

const typed = (value: unknown): string => (typeof value === 'number' ? String(value) : '');

export function verdictOf(body: Body): SaidVerdict {
  return {
    verdict: body.verdict === 'given_up' ? 'given_up' : 'tight',
    full: typed(body.full_mass_kg),
    wet: typed(body.wet_mass_kg),
    temp: typed(body.water_temp_c),
    reason: typeof body.reason === 'string' ? body.reason : '',
  };
}

/** The fields of a verdict with what it does not say left out, or the words of what is wrong. */
export function verdictFields(
  said: SaidVerdict,
  weighed_l: number | null,
): { ok: true; changed: Body } | { ok: false; detail: string } {
  const isWeighedOnce = said.full.trim() !== '' || said.wet.trim() !== '';
  if (said.verdict === 'given_up' && said.reason.trim() === '') {
    return { ok: false, detail: 'Say why: the next who tries will ask.' };
  }
  if (isWeighedOnce && weighed_l === null) {
    return { ok: false, detail: 'Both weights, the full one the heavier; or neither.' };
  }
  return {
    ok: true,
    changed: {
      verdict: said.verdict,
      full_mass_kg: isWeighedOnce ? typedNumber(said.full)! : undefined,
      wet_mass_kg: isWeighedOnce ? typedNumber(said.wet)! : undefined,
      water_temp_c: isWeighedOnce ? (typedNumber(said.temp) ?? undefined) : undefined,
      weighed_capacity_l: weighed_l === null ? undefined : Number(weighed_l.toFixed(4)),
      reason: said.verdict === 'given_up' ? said.reason.trim() : undefined,
    },
  };
}

/** What a form of its own asks for, so that no plain field asks a second time. */
export const ASKED_ELSEWHERE: Record<string, readonly string[]> = {
  fills: ['name'],
  'curing-verdicts': ['full_mass_kg', 'wet_mass_kg', 'water_temp_c', 'weighed_capacity_l', 'reason'],
};

/**
 * The fill that lay in a barrel on a day: the newest that had begun by its end and was not decanted before it. Null
 * where the log knows none.
 */
export function fillOfDay(log: readonly LogLine[], day: string, timezone: string): string | null {
  const dayOf = (line: LogLine): string => dayIn(timezone, Date.parse(line.happened_at));
  const counted = log.filter((line) => line.is_head && !line.is_void && isPlaced(line));
  const begun = counted
    .filter((line) => line.collection === 'fills' && dayOf(line) <= day)
    .sort((a, b) => Date.parse(b.happened_at) - Date.parse(a.happened_at));
  const fill = begun[0];
  if (!fill) return null;
  const stay = fill.stay ?? fill.id;
  const ended = counted.some(
    (line) => line.collection === 'decants' && (line.stay ?? '') === stay && dayOf(line) < day,
  );
  return ended ? null : stay;
}
