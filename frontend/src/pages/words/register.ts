/** A barrel's register as a keeper edits it: what was typed, what is wrong with it, and what it changes. */

import type { Barrel } from '~/api/types.ts';
import { isUnsent, type OutboxEntry } from '~/outbox/entry.ts';
import {
  type BarrelShape,
  barrelShape,
  dipAtVolumeCm,
  shapeFromCapacity,
  shapeFromOutside,
} from '~/science/geometry.ts';
import { BOUNDS, USUAL_CHIME_MM, USUAL_HEAD_MM } from '~/science/tables.ts';
import { centimetres, litres as inLitres } from '~/science/units.ts';
import { assumedWords } from './barrel.ts';
import { litres } from './numbers.ts';
import { type Moment, nearDayOf } from './time.ts';
import { typedNumber } from './typed.ts';

/** Where the tape lay. An open barrel can be measured inside; a closed one only round it. */
export type Taped = 'none' | 'inside' | 'outside';

/** What only measuring tells, as it is typed. */
export interface MeasuresDraft {
  taped: Taped;
  bilge_cm: string;
  head_cm: string;
  length_cm: string;
  stave_mm: string;
  head_mm: string;
  chime_mm: string;
}

export interface RegisterDraft extends MeasuresDraft {
  name: string;
  note: string;
  wood: string;
  char: string;
  bung_tight: boolean;
  allergens: string[];
}

export type MeasureName = Exclude<keyof MeasuresDraft, 'taped'>;
export type Wrong = Partial<Record<MeasureName | 'name', string>>;

type Register = Barrel['register'];

export const NO_MEASURES: MeasuresDraft = {
  taped: 'none',
  bilge_cm: '',
  head_cm: '',
  length_cm: '',
  stave_mm: '',
  head_mm: '',
  chime_mm: '',
};

/** Chimes are the only measure without a bound of their own in the science; the API has the same one. */
const CHIME_MM = [0, 200] as const;

interface Measure {
  name: MeasureName;
  label: string;
  unit: 'cm' | 'mm';
  least: number;
  most: number;
  /** Nothing is that thin; 0 itself is refused. */
  isAbove: boolean;
  hint: string;
}

const [, WIDEST] = BOUNDS.diameter_cm;
const [, LONGEST] = BOUNDS.length_cm;
const [THINNEST, THICKEST] = BOUNDS.stave_mm;

export const TAPE: readonly Measure[] = [
  {
    name: 'bilge_cm',
    label: 'Across the middle',
    unit: 'cm',
    least: 0,
    most: WIDEST,
    isAbove: true,
    hint: 'At the bung, where it is widest. A tape round it: its girth by 3.14.',
  },
  {
    name: 'head_cm',
    label: 'Across a head',
    unit: 'cm',
    least: 0,
    most: WIDEST,
    isAbove: true,
    hint: 'From edge to edge, at the end of the staves.',
  },
  {
    name: 'length_cm',
    label: 'Length',
    unit: 'cm',
    least: 0,
    most: LONGEST,
    isAbove: true,
    hint: 'Along the axis: inside from head to head, outside from end to end.',
  },
];

export const THICKNESS: readonly Measure[] = [
  {
    name: 'stave_mm',
    label: 'A stave’s thickness',
    unit: 'mm',
    least: THINNEST,
    most: THICKEST,
    isAbove: false,
    hint: 'Seen at the bung hole. Needed where it was measured outside.',
  },
  {
    name: 'head_mm',
    label: 'A head’s thickness',
    unit: 'mm',
    least: THINNEST,
    most: THICKEST,
    isAbove: false,
    hint: `Seen at the spigot hole. Left empty, ${USUAL_HEAD_MM} mm is assumed.`,
  },
];

export const CHIME: Measure = {
  name: 'chime_mm',
  label: 'The chime: how deep a head sits',
  unit: 'mm',
  least: CHIME_MM[0],
  most: CHIME_MM[1],
  isAbove: false,
  hint: `From the end of a stave to the outer face of the head in its croze. Left empty, ${USUAL_CHIME_MM} mm is assumed.`,
};

/** "5 to 60 mm"; "more than 0, up to 150 cm" */
export function allowedWords({ least, most, unit, isAbove }: Measure): string {
  return isAbove ? `more than ${least}, up to ${most} ${unit}` : `${least} to ${most} ${unit}`;
}

const shown = (value: number | null | undefined): string =>
  value === null || value === undefined ? '' : String(Number(value.toFixed(2)));

const hasAll = (values: readonly (number | null | undefined)[]): boolean =>
  values.every((one) => one !== null && one !== undefined);

function tapedIn(register: Register): Taped {
  if (hasAll([register.bilge_diameter_cm, register.head_diameter_cm, register.length_cm])) return 'inside';
  const outside = [
    register.outside_bilge_diameter_cm,
    register.outside_head_diameter_cm,
    register.outside_length_cm,
  ];
  return hasAll(outside) ? 'outside' : 'none';
}

/** What is registered, as the form shows it first. */
export function draftOf(
  barrel: Pick<Barrel, 'name' | 'wood' | 'char' | 'bung_tight' | 'register'>,
): RegisterDraft {
  const { register } = barrel;
  const taped = tapedIn(register);
  const isInside = taped === 'inside';
  const tape = (inside: number | null, outside: number | null): string =>
    taped === 'none' ? '' : shown(isInside ? inside : outside);
  return {
    name: barrel.name,
    note: register.note,
    wood: barrel.wood,
    char: barrel.char,
    bung_tight: barrel.bung_tight,
    allergens: [...register.adopted_allergens],
    taped,
    bilge_cm: tape(register.bilge_diameter_cm, register.outside_bilge_diameter_cm),
    head_cm: tape(register.head_diameter_cm, register.outside_head_diameter_cm),
    length_cm: tape(register.length_cm, register.outside_length_cm),
    stave_mm: shown(register.stave_mm),
    head_mm: shown(register.head_mm),
    chime_mm: shown(register.chime_mm),
  };
}

function oneWrong(measure: Measure, text: string, isNeeded: boolean): string | null {
  if (text.trim() === '') return isNeeded ? 'This one is needed too.' : null;
  const value = typedNumber(text);
  if (value === null) return 'Type a figure.';
  const isOut = value > measure.most || value < measure.least || (measure.isAbove && value === measure.least);
  return isOut ? 'No barrel here is that.' : null;
}

/** The measures that cannot be, each with its sentence; the same limits as the server's. */
export function measuresWrong(
  draft: MeasuresDraft,
  { nominal_l, weighed_l }: { nominal_l: number | null; weighed_l: number | null },
): Wrong {
  const isOutside = draft.taped === 'outside';
  const wrong: Wrong = {};
  const look = (measure: Measure, isNeeded: boolean): void => {
    const words = oneWrong(measure, draft[measure.name], isNeeded);
    if (words) wrong[measure.name] = words;
  };
  if (draft.taped !== 'none') for (const measure of TAPE) look(measure, true);
  // The wood is taken off what was measured outside: there the stave must be known, and of the heads what is not is
  // assumed, and said.
  for (const measure of THICKNESS) look(measure, isOutside && measure.name === 'stave_mm');
  if (isOutside) look(CHIME, false);
  const isRead = draft.taped !== 'none' && !wrong.head_cm && !wrong.bilge_cm;
  if (isRead && typedNumber(draft.head_cm)! > typedNumber(draft.bilge_cm)!)
    wrong.head_cm = 'A head is never wider than the middle.';
  if (Object.keys(wrong).length > 0 || draft.taped === 'none') return wrong;
  const shape = shapeOf(draft, nominal_l ?? 1, null);
  if (shape === null)
    return { [isOutside ? 'stave_mm' : 'bilge_cm']: 'These measures make no barrel. Look at each again.' };
  const makes_l = shape.shape_capacity_l;
  if (nominal_l !== null && weighed_l === null && (makes_l < 0.5 * nominal_l || makes_l > 2 * nominal_l)) {
    const limits = `${litres(0.5 * nominal_l)} to ${litres(2 * nominal_l)}`;
    return {
      bilge_cm: `Such a barrel holds ${litres(makes_l, 1)}; one of ${litres(nominal_l)} holds ${limits}. Look at each again.`,
    };
  }
  return wrong;
}

/** The inside that was typed; null where the figures make none. */
export function shapeOf(
  draft: MeasuresDraft,
  nominal_l: number,
  weighed_l: number | null,
): BarrelShape | null {
  const number = (name: MeasureName): number => typedNumber(draft[name]) ?? Number.NaN;
  const orUsual = (name: MeasureName, usual: number): number =>
    draft[name].trim() === '' ? usual : number(name);
  const weighed_capacity_l = weighed_l === null ? null : inLitres(weighed_l);
  try {
    if (draft.taped === 'none')
      return { ...shapeFromCapacity(inLitres(nominal_l)), capacity_l: inLitres(weighed_l ?? nominal_l) };
    const tape = {
      head_diameter_cm: centimetres(number('head_cm')),
      bilge_diameter_cm: centimetres(number('bilge_cm')),
      length_cm: centimetres(number('length_cm')),
    };
    if (draft.taped === 'inside') return barrelShape({ ...tape, weighed_capacity_l });
    const inside = shapeFromOutside({
      ...tape,
      stave_cm: centimetres(number('stave_mm') / 10),
      chime_cm: centimetres(orUsual('chime_mm', USUAL_CHIME_MM) / 10),
      head_thickness_cm: centimetres(orUsual('head_mm', USUAL_HEAD_MM) / 10),
    });
    return barrelShape({ ...inside, weighed_capacity_l });
  } catch {
    return null;
  }
}

/** What would be wrong with the whole register. */
export function registerWrong(
  draft: RegisterDraft,
  barrel: Pick<Barrel, 'nominal_l' | 'register'>,
  otherNames: readonly string[],
): Wrong {
  const name = draft.name.trim();
  const isTaken = otherNames.some((one) => one.toLowerCase() === name.toLowerCase());
  return {
    ...(name === '' ? { name: 'Give it a name.' } : isTaken ? { name: 'Another barrel has that name.' } : {}),
    ...measuresWrong(draft, {
      nominal_l: barrel.nominal_l,
      weighed_l: barrel.register.weighed_capacity_l,
    }),
  };
}

/** The measures as a body names them; what was not measured is null. */
export function measuresBody(draft: MeasuresDraft): Record<string, number | null> {
  const figure = (text: string, isKept: boolean): number | null => (isKept ? typedNumber(text) : null);
  const isInside = draft.taped === 'inside';
  const isOutside = draft.taped === 'outside';
  return {
    bilge_diameter_cm: figure(draft.bilge_cm, isInside),
    head_diameter_cm: figure(draft.head_cm, isInside),
    length_cm: figure(draft.length_cm, isInside),
    outside_bilge_diameter_cm: figure(draft.bilge_cm, isOutside),
    outside_head_diameter_cm: figure(draft.head_cm, isOutside),
    outside_length_cm: figure(draft.length_cm, isOutside),
    stave_mm: typedNumber(draft.stave_mm),
    head_mm: typedNumber(draft.head_mm),
    chime_mm: typedNumber(draft.chime_mm),
  };
}

const bodyOf = (draft: RegisterDraft): Record<string, unknown> => ({
  name: draft.name.trim(),
  note: draft.note.trim(),
  wood: draft.wood.trim(),
  char: draft.char.trim(),
  bung_tight: draft.bung_tight,
  adopted_allergens: [...draft.allergens].sort(),
  ...measuresBody(draft),
});

/** Only what differs from what is registered: two keepers who mend different things meet as little as may be. */
export function changesOf(
  draft: RegisterDraft,
  barrel: Pick<Barrel, 'name' | 'wood' | 'char' | 'bung_tight' | 'register'>,
): Record<string, unknown> {
  const before = bodyOf(draftOf(barrel));
  return Object.fromEntries(
    Object.entries(bodyOf(draft)).filter(
      ([field, value]) => JSON.stringify(value) !== JSON.stringify(before[field]),
    ),
  );
}

const MARKS = [
  { of: 0.25, name: 'A quarter full' },
  { of: 0.5, name: 'Half full' },
  { of: 0.75, name: 'Three quarters full' },
] as const;

/** How high the rod is wet at each share of the whole [mm]. */
function marksMm(shape: BarrelShape): number[] {
  return MARKS.map(({ of }) => Math.round(10 * dipAtVolumeCm(shape, inLitres(of * shape.capacity_l))));
}

/** "Half full (2.5 L) wets 96 mm of the rod; before, 92 mm." One line a mark. */
export function dipWords(before: BarrelShape, after: BarrelShape): string[] {
  const was = marksMm(before);
  return marksMm(after).map((mm, at) => {
    const { name, of } = MARKS[at]!;
    const volume = litres(of * after.capacity_l);
    const than = was[at] === mm ? 'as before' : `before, ${was[at]}\u00a0mm`;
    return `${name} (${volume}) wets ${mm}\u00a0mm of the rod; ${than}.`;
  });
}

/** How far measures may lie from a weighing before one of them is a slip of the tape (a working assumption). */
const FAR = 0.1;

/** What the measures say it holds, beside what counts. */
export function capacityByTape(draft: MeasuresDraft, shape: BarrelShape, weighed_l: number | null): string {
  if (draft.taped === 'none') return 'Nobody has measured it: its shape is that of a usual barrel.';
  const makes = litres(shape.shape_capacity_l, 1);
  if (weighed_l === null) return `By these measures it holds about ${makes}.`;
  const isFar = Math.abs(shape.shape_capacity_l / weighed_l - 1) > FAR;
  return `By these measures it would hold about ${makes}; it was weighed at ${litres(weighed_l)}, and that counts.${isFar ? ' They are far apart: measure again.' : ''}`;
}

/**
 * What is assumed of the heads, and how much hangs on it: "Assumed: heads 14 mm thick and set 12 mm deep, as in most
 * small barrels. Each millimetre, on both heads, is about 0.06 L." Null where everything was measured.
 */
export function assumedInDraft(draft: MeasuresDraft, shape: BarrelShape): string | null {
  if (draft.taped !== 'outside') return null;
  const isUnsaid = (name: MeasureName): boolean => draft[name].trim() === '';
  const words = assumedWords({
    ...(isUnsaid('head_mm') ? { head_mm: USUAL_HEAD_MM } : {}),
    ...(isUnsaid('chime_mm') ? { chime_mm: USUAL_CHIME_MM } : {}),
  });
  if (words === null) return null;
  // A head moved by a millimetre takes a disc of its own size.
  const disc_l = (Math.PI / 4) * shape.head_diameter_cm ** 2 * 0.1 * 2 * 1e-3;
  return `Assumed: ${words.replace(', assumed', '')}, as in most small barrels. Each millimetre, at both heads, is about ${litres(disc_l, 2)}. A ruler through the spigot hole and one along a stave’s end tell.`;
}

/** Where the weighed capacity comes from: "4.98 L by two weights, 3 May". */
export function weighedFrom(
  barrel: Pick<Barrel, 'register'>,
  log: readonly { happened_at: string; is_void: boolean; is_head: boolean; body: unknown }[],
  moment: Moment,
): string {
  const capacity_l = barrel.register.weighed_capacity_l;
  if (capacity_l === null) return 'Not weighed yet. Two weights at the end of a curing make it true.';
  const said = log.find(
    (line) =>
      line.is_head &&
      !line.is_void &&
      typeof (line.body as Record<string, unknown> | null)?.weighed_capacity_l === 'number',
  );
  const when = said ? `, ${nearDayOf(Date.parse(said.happened_at), moment)}` : '';
  return `${litres(capacity_l)} by two weights${when}. It counts in every plan.`;
}

/** Whether an edit of this barrel has not come back yet: the next one must see what it made. */
export function isEditWaiting(
  barrel: Pick<Barrel, 'id' | 'version'>,
  entries: readonly OutboxEntry[],
): boolean {
  return entries.some(
    (entry) =>
      entry.collection === 'barrels' &&
      entry.target === barrel.id &&
      entry.base_version !== null &&
      (isUnsent(entry) || (entry.state === 'done' && entry.base_version >= barrel.version)),
  );
}
