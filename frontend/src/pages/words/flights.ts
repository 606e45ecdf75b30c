/** Blind flights in words: what waits, whose turn it is, what a code was, and what two scores of one liquid say. */

import type { Barrel, Flight, Person } from '~/api/types.ts';
import { scoreText } from '~/components/rod/words.ts';
import { DOUBLED_FROM } from '~/outbox/flight-codes.ts';
import { ethanolG } from '~/science/alcoholometry.ts';
import { abvPct, litres } from '~/science/units.ts';
import { SHARP_UNTIL } from './evening.ts';
import { capital, counted, inWords, listed, unit } from './numbers.ts';
import { allergenName, usualSampleMl } from './taste.ts';
import { quarantineWords } from './trouble.ts';

export const MOST_SAMPLES = 10;

type NameOf = (id: string) => string;
type Shown = Flight & { is_here?: boolean; is_closing?: boolean };

/** Stands for a flight that this phone has not read, in an address. */
export const TONIGHT = 'tonight';
const TONIGHT_MS = 86_400_000;
export const CODE_ALLOWED = '100 to 999';

/** Whether this may stand on a glass. */
export function isCode(text: string): boolean {
  return /^[1-9]\d\d$/.test(text);
}

/** Since when a score by number alone is of this evening. */
export function tonightSince(now_ms: number): number {
  return now_ms - TONIGHT_MS;
}

/** Whether a flight still stands on the table. */
export function isOnTable(flight: Flight): boolean {
  return flight.opened_at === null && flight.called_off_at === null;
}

/** The newest flight on the table that has a glass of that number for this taster. */
export function tableOfCode<One extends Flight>(
  flights: readonly One[],
  code: string,
  me: string,
): One | undefined {
  return flights.find((one) => isOnTable(one) && codesOf(one, me).includes(code));
}

/** The codes in a taster's own order; none for whoever does not taste. */
export function codesOf(flight: Flight, person: string): string[] {
  return flight.tasters.find((line) => line.person === person)?.codes ?? [];
}

/** What the reader has not scored yet, in their order. */
export function codesLeft(flight: Flight, me: string): string[] {
  const given = new Set(flight.mine.map((score) => score.code));
  return codesOf(flight, me).filter((code) => !given.has(code));
}

/** "Alder poured a blind flight for you: five glasses wait." Null where it does not wait for this reader. */
export function waitingWords(flight: Shown, me: string, nameOf: NameOf): string | null {
  if (!isOnTable(flight)) return null;
  const left = codesLeft(flight, me).length;
  if (left > 0) {
    return `${nameOf(flight.pourer)} poured a blind flight for you: ${counted(left, 'glass waits', 'glasses wait')}.`;
  }
  if (flight.pourer !== me || flight.is_closing) return null;
  return `Your blind flight is on the table. ${progressWords(flight, me, nameOf)}`;
}

/** What stands on one's own page of the app. */
export function flightsWords(flights: readonly Shown[], me: string): string {
  const waiting = flights.filter((one) => isOnTable(one) && codesLeft(one, me).length > 0).length;
  if (waiting > 0) return `${capital(counted(waiting, 'waits', 'wait'))} for you.`;
  return 'Glasses without names, poured by one for the others.';
}

/** "Sedge has scored three of five; Fen has finished." */
export function progressWords(flight: Flight, me: string, nameOf: NameOf): string {
  const lines = flight.tasters.map(({ person, scored }) => {
    const [name, has] = person === me ? ['you', 'have'] : [nameOf(person), 'has'];
    if (flight.glasses > 0 && scored >= flight.glasses) return `${name} ${has} finished`;
    if (scored === 0) return `${name} ${has} scored none yet`;
    return `${name} ${has} scored ${inWords(scored)} of ${inWords(flight.glasses)}`;
  });
  return `${capital(lines.join('; '))}.`;
}

/** Standard drinks in one taster's glasses, were they all swallowed. */
export function drinksIn(flight: Flight, drink_g: number): number {
  return ethanolG(litres(flight.ethanol_ml / 1000), abvPct(100)) / drink_g;
}

/** What must be said before anybody drinks; `had` spirits its reader has had tonight already. */
export function cautionWords(flight: Flight, drink_g: number, had = 0): string[] {
  const drinks = drinksIn(flight, drink_g);
  const about = drinks < 0.05 ? 'less than 0.1' : `about ${drinks.toFixed(1)}`;
  const words = [
    `All ${inWords(flight.glasses)} glasses swallowed hold ${about} standard drinks of ${unit(drink_g, 'g')}. A cup to spit into, water and crackers stand by; two minutes between glasses. Not before driving, boating or cellar work.`,
  ];
  if (had + flight.glasses > SHARP_UNTIL) {
    const before = had > 0 ? `You have had ${inWords(had)} this evening already. ` : '';
    words.push(
      `${before}At most ${inWords(SHARP_UNTIL)} at full strength in an evening: spit, or let them down with water. From the ${ordinal(SHARP_UNTIL + 1)} glass on a palate judges less sharply.`,
    );
  }
  if (flight.allergens.length > 0) {
    words.push(
      `Some of it may hold ${listed(flight.allergens.map(allergenName))}. Whoever must not have it leaves this flight out.`,
    );
  }
  return words;
}

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** "third"; "11th" where it is long. */
export function ordinal(position: number): string {
  return ORDINALS[position - 1] ?? `${position}th`;
}

export interface Named {
  barrel: string;
  codes: string[];
  /** What the reader gave it: twice where it stood there twice. */
  mine: { code: string; liking: number }[];
  others: { person: string; liking: number }[];
}

/** The barrels behind the codes, in the order in which their reader met them. */
export function named(flight: Flight, me: string): Named[] {
  const order = codesOf(flight, me);
  const given = new Map(flight.mine.map((score) => [score.code, score.liking]));
  const found = new Map<string, Named>();
  for (const { code, barrel, fill } of inOrder(flight.key ?? [], order)) {
    const at = found.get(fill) ?? {
      barrel,
      codes: [],
      mine: [],
      others: (flight.scores ?? [])
        .filter((score) => score.fill === fill && score.person !== me)
        .map(({ person, liking }) => ({ person, liking }))
        .sort((a, b) => b.liking - a.liking || a.person.localeCompare(b.person)),
    };
    at.codes.push(code);
    const liking = given.get(code);
    if (liking !== undefined) at.mine.push({ code, liking });
    found.set(fill, at);
  }
  return [...found.values()];
}

function inOrder<Glass extends { code: string }>(key: readonly Glass[], order: readonly string[]): Glass[] {
  const place = new Map(order.map((code, index) => [code, index]));
  return [...key].sort((a, b) => (place.get(a.code) ?? 0) - (place.get(b.code) ?? 0));
}

/** "You gave 7.5. Fen 6, Sedge 5." */
export function scoresWords({ mine, others }: Named, nameOf: NameOf): string {
  const own = mine.length > 0 ? `You gave ${listed(mine.map((one) => scoreText(one.liking)))}.` : '';
  const theirs = others.map((one) => `${nameOf(one.person)} ${scoreText(one.liking)}`).join(', ');
  const both = [own, theirs && `${theirs}.`].filter(Boolean).join(' ');
  return both || 'Nobody scored it.';
}

/** What two scores of one liquid say; null where they do not stand side by side. */
export function twinWords({ mine, codes }: Named): string | null {
  if (codes.length < 2) return null;
  const stood = `It stood there twice, as ${listed(codes)}.`;
  const [one, other] = mine;
  if (!one || !other) return stood;
  const apart = Math.abs(one.liking - other.liking);
  return apart === 0
    ? `${stood} You gave both the same.`
    : `${stood} Your two scores of one liquid lie ${scoreText(Number(apart.toFixed(1)))} apart. So much is chance; it happens to the most practised.`;
}

/** "Called off by Alder: wrong barrel in the second glass." */
export function offWords(flight: Flight, me: string, nameOf: NameOf): string {
  const by =
    flight.called_off_by === null || flight.called_off_by === me ? 'you' : nameOf(flight.called_off_by);
  const reason = flight.called_off_reason.replace(/[.\s]+$/, '');
  return `Called off by ${by}: ${reason}.`;
}

/** What all flights say of their reader, for them alone: how far their nose wanders, and whether they lean. */
export function ownWords({ own }: Pick<Flight, 'own'>): string[] {
  if (!own || (own.pairs === 0 && own.shared_glasses === 0)) return [];
  const words: string[] = [];
  if (own.sd !== null) {
    words.push(
      `Over ${inWords(own.pairs)} liquids you scored twice, your own scatter is ${scoreText(Number(own.sd.toFixed(1)))} points either way.`,
    );
  } else if (own.pairs > 0) {
    const sofar = own.pairs === 1 ? 'this is the first' : `there are ${inWords(own.pairs)} so far`;
    words.push(`Your own scatter shows from five liquids scored twice on; ${sofar}.`);
  }
  if (own.offset !== null) {
    const way = own.offset > 0 ? 'higher' : 'lower';
    words.push(
      `Of the same glasses you score about ${Math.abs(own.offset).toFixed(1)} ${way} than the others. That is a manner, not a fault; nobody’s score is weighed by it.`,
    );
  } else if (own.shared_glasses < LEAST_SHARED) {
    words.push(
      `Whether you score higher or lower than the others shows from ${inWords(LEAST_SHARED)} glasses on that somebody else scored too; ${counted(own.shared_glasses, 'is', 'are')} here so far.`,
    );
  } else {
    words.push(
      `Of ${counted(own.shared_glasses, 'glass', 'glasses')} you shared with others your scores lean neither way, as far as chance lets one say.`,
    );
  }
  return words;
}

/** From so many shared glasses on a leaning is told (reference of science.agreement). */
const LEAST_SHARED = 8;

// --- beginning one -------------------------------------------------------------------------------------------

export interface FlightDraft {
  /** The fills, by their stay. */
  fills: string[];
  tasters: string[];
  /** As typed. */
  sample: string;
  is_without_duplicate: boolean;
}

/** What may stand in a flight: filled, open to this reader, and not held back. */
export function pourable(barrels: readonly Barrel[]): Barrel[] {
  return barrels.filter(
    (barrel) =>
      barrel.contents?.kind === 'fill' &&
      barrel.contents.may_taste === true &&
      quarantineWords(barrel) === null,
  );
}

/** Who may be poured for: the people here but whoever pours. */
export function guests(people: readonly Person[], me: string): Person[] {
  return people.filter(
    (one) => one.id !== me && one.left_at === null && one.role !== 'tablet' && one.role !== 'sensor',
  );
}

/** The usual sample of the smallest of the barrels. */
export function usualFlightMl(barrels: readonly Barrel[]): number {
  return Math.min(...barrels.map((barrel) => usualSampleMl(barrel.capacity_l)), 10);
}

export function glassesOf({ fills, is_without_duplicate }: FlightDraft): number {
  return fills.length + (fills.length >= DOUBLED_FROM && !is_without_duplicate ? 1 : 0);
}

/** Why it cannot begin yet; null when it can. */
export function beginProblem(draft: FlightDraft, sample_ml: number | null): string | null {
  if (draft.fills.length < 2) return 'Choose at least two barrels.';
  if (draft.fills.length > MOST_SAMPLES) return `At most ${inWords(MOST_SAMPLES)} barrels.`;
  if (draft.tasters.length === 0) return 'Choose who tastes.';
  if (sample_ml === null || sample_ml <= 0 || sample_ml > 50) return 'A sample is between 0.1 and 50 mL.';
  return null;
}

/** "Five glasses for each of two, 10 mL a glass: 100 mL in all." */
export function pourWords(draft: FlightDraft, sample_ml: number): string {
  const glasses = glassesOf(draft);
  const all_ml = Math.round(glasses * draft.tasters.length * sample_ml * 10) / 10;
  const twice =
    glasses > draft.fills.length ? ' One barrel stands there twice, and only you will know which.' : '';
  return `${capital(counted(glasses, 'glass', 'glasses'))} for each of ${inWords(draft.tasters.length)}, ${unit(sample_ml, 'mL')} a glass: ${unit(all_ml, 'mL')} in all.${twice}`;
}
