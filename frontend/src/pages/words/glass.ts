/** Pulling, decanting, vessels and bottling, in sentences. */

import type { Range, Share, Uuid, Vessel } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import { capital, counted, inWords, listed, litres, unit } from './numbers.ts';

export interface Vote {
  person: Uuid;
  choice: 'pull' | 'wait';
}

/** One line of a log, as far as votes are read from it. */
interface VoteLine {
  collection: string;
  author: Uuid;
  happened_at: string;
  is_head: boolean;
  is_void: boolean;
  body: Record<string, unknown> | null;
}

/** The newest word of each person about a fill, in the order of the log. */
export function votesOf(log: readonly VoteLine[], fill: Uuid): Vote[] {
  const found = new Map<Uuid, Vote>();
  const lines = log.filter(
    (line) => line.collection === 'pull-votes' && line.is_head && !line.is_void && line.body?.fill === fill,
  );
  for (const line of [...lines].sort((a, b) => Date.parse(a.happened_at) - Date.parse(b.happened_at))) {
    found.set(line.author, { person: line.author, choice: line.body?.choice === 'pull' ? 'pull' : 'wait' });
  }
  return [...found.values()];
}

/** Whether somebody decided that the fill is pulled. */
export function isPulled(log: readonly VoteLine[], fill: Uuid): boolean {
  return log.some(
    (line) => line.collection === 'pulls' && line.is_head && !line.is_void && line.body?.fill === fill,
  );
}

export interface Standing {
  pull: number;
  wait: number;
  whole: number;
  /** More than half of the shares say pull. */
  is_for: boolean;
}

/** How the shares stand: only sharers speak, each by their share; the club's own counts in the whole and says nothing. */
export function standingOf(votes: readonly Vote[], sharers: readonly Share[], club_weight = 0): Standing {
  const weight = (choice: Vote['choice']): number =>
    votes
      .filter((vote) => vote.choice === choice)
      .reduce((sum, vote) => sum + (sharers.find((one) => one.person === vote.person)?.weight ?? 0), 0);
  const whole = sharers.reduce((sum, one) => sum + one.weight, sharers.length > 0 ? club_weight : 0);
  const pull = weight('pull');
  return { pull, wait: weight('wait'), whole, is_for: whole > 0 && 2 * pull > whole };
}

/** "Two of three shares say pull it, one says wait." */
export function standingWords(standing: Standing): string {
  const { pull, wait, whole } = standing;
  if (whole === 0) return 'The fill is the club’s; the keeper decides.';
  if (whole === 1)
    return pull
      ? 'Its one share says pull it.'
      : wait
        ? 'Its one share says wait.'
        : 'Its one share has not spoken yet.';
  if (pull + wait === 0) return `None of its ${counted(whole, 'share', 'shares')} has spoken yet.`;
  const of = `of ${counted(whole, 'share', 'shares')}`;
  const says = (count: number): string => (count === 1 ? 'says' : 'say');
  if (wait === 0) return `${capital(inWords(pull))} ${of} ${says(pull)} pull it.`;
  if (pull === 0) return `${capital(inWords(wait))} ${of} ${says(wait)} wait.`;
  return `${capital(inWords(pull))} ${of} ${says(pull)} pull it, ${inWords(wait)} ${says(wait)} wait.`;
}

/** "Expect 4.1 to 4.3 L, calculated." */
export function yieldWords(expected: Range): string {
  return `Expect ${rangeText({ low: expected.low, high: expected.high, unit: 'L' })}, calculated.`;
}

/** How the forecast did, once the yield is measured. */
export function scoredWords(expected: Range, measured_l: number): string {
  const said = rangeText({ low: expected.low, high: expected.high, unit: 'L' });
  if (measured_l < expected.low) {
    return `${litres(measured_l)} is less than the forecast of ${said}: look for a leak.`;
  }
  if (measured_l > expected.high) {
    return `${litres(measured_l)} is more than the forecast of ${said}. The next one learns from it.`;
  }
  return `The forecast said ${said}: it held.`;
}

/** "Five of six forecasts of a yield held." Null before the first. */
export function recordWords(vessels: readonly Vessel[]): string | null {
  const told = vessels.filter((vessel) => vessel.expected_l !== null);
  if (told.length === 0) return null;
  const held = told.filter(
    ({ expected_l, volume_l }) => expected_l && volume_l >= expected_l.low && volume_l <= expected_l.high,
  ).length;
  if (told.length === 1)
    return held ? 'The one forecast of a yield held.' : 'The one forecast of a yield did not hold.';
  return `${capital(inWords(held))} of ${inWords(told.length)} forecasts of a yield held; four in five should.`;
}

const STRENGTH: Record<Vessel['abv_basis'], string> = {
  measured: 'measured',
  as_filled: 'as it was filled, not measured since',
  calculated: 'calculated',
};

/** "54 % vol, measured" */
export function vesselStrengthWords(vessel: Pick<Vessel, 'abv_pct' | 'abv_basis'>): string {
  if (vessel.abv_pct === null) return 'strength not known';
  const strength = unit(Number(vessel.abv_pct.toFixed(1)), '% vol');
  // A row that was read before the service told of this has the figure alone.
  const basis: string | undefined = STRENGTH[vessel.abv_basis];
  return basis ? `${strength}, ${basis}` : strength;
}

/** "Of Wick (2 shares) and Marl (1 share)."; null where nobody but the club is in it. */
export function ownersWords(
  vessel: Pick<Vessel, 'shares' | 'club_weight'>,
  nameOf: (person: Uuid) => string,
): string | null {
  if (vessel.shares.length === 0) return null;
  const whole = vessel.shares.reduce((sum, share) => sum + share.weight, 0) + vessel.club_weight;
  // After a blend the weights are millilitres; there a per cent says more.
  const part = (weight: number): string =>
    whole > 100 ? unit(Math.round((100 * weight) / whole), '%') : counted(weight, 'share', 'shares');
  const people = vessel.shares.map((share) => `${nameOf(share.person)} (${part(share.weight)})`);
  if (vessel.club_weight > 0) people.push(`the club (${part(vessel.club_weight)})`);
  return `Of ${listed(people)}.`;
}

/** "Wick and Marl are level for an odd bottle. It goes to Wick, who lost before; then they are even." */
export function tieWords(
  tie: {
    won: readonly (Uuid | null)[];
    lost: readonly (Uuid | null)[];
    is_owed: boolean;
    next: 'lost' | 'even' | 'won';
  },
  nameOf: (person: Uuid | null) => string,
): string {
  const names = (people: readonly (Uuid | null)[]): string => listed(people.map(nameOf));
  const [won, lost] = [names(tie.won), names(tie.lost)];
  const goes = tie.won.length === 1 ? `It goes to ${won}` : `One each goes to ${won}`;
  const first = (who: string, many: number): string => `${who} ${many === 1 ? 'goes' : 'go'} first next time`;
  const then =
    tie.next === 'even'
      ? 'then they are even'
      : tie.next === 'lost'
        ? first(lost, tie.lost.length)
        : `and ${first(won, tie.won.length)} still`;
  return `${capital(names([...tie.won, ...tie.lost]))} are level for an odd bottle. ${goes}, ${
    tie.is_owed ? 'who lost before' : 'by lot'
  }; ${then}.`;
}

/** Where a phone drew without knowing of another tie: what the club's word was, and what comes of it. */
export function drawnApartWords(
  bottling: Pick<Vessel['bottlings'][number], 'is_drawn_apart' | 'shares'>,
  nameOf: (person: Uuid | null) => string,
): string | null {
  const owed = bottling.shares.filter((share) => share.fair_ml > share.received_ml);
  if (!bottling.is_drawn_apart || owed.length === 0) return null;
  const whose = listed(owed.map((share) => nameOf(share.person)));
  return `An odd bottle was drawn for on a phone that did not know of another tie of the same people; by the club’s count it was owed to ${whose}. It stays where it was handed out, each pays for what they got, and ${whose} ${
    owed.length === 1 ? 'goes' : 'go'
  } first next time. They may also swap.`;
}

/** What was written down beyond what was in it: two people poured out of one vessel, or a figure is wrong. */
export function overdrawnWords(vessel: Pick<Vessel, 'volume_l' | 'draws'>): string | null {
  const taken_l = vessel.draws.reduce((sum, draw) => sum + draw.volume_l, 0);
  if (taken_l <= vessel.volume_l * 1.01) return null;
  return `${litres(taken_l - vessel.volume_l)} more was written down than was in it. Look at what was taken: one of the figures is wrong, or it was taken twice.`;
}

/** What clings to the glass is nothing to pour. */
export const EMPTY_BELOW_L = 0.005;

export const vesselName = (vessel: Pick<Vessel, 'name'>): string => vessel.name || 'A vessel';

/** Why a vessel cannot be poured out of; null where it can. */
export function whyNotPoured(vessel: Pick<Vessel, 'left_l' | 'abv_pct'>, mayPour: boolean): string | null {
  if (vessel.left_l <= EMPTY_BELOW_L) return 'It is empty.';
  if (vessel.abv_pct === null) {
    return 'Nobody knows its strength, and the mix is worked out from it. Measure it, and correct its decant in the log.';
  }
  return mayPour ? null : 'In this club the keeper pours out of it.';
}

/** "1.2 of 4.2 L left" */
export function leftWords(vessel: Pick<Vessel, 'left_l' | 'volume_l'>): string {
  if (vessel.left_l <= 0.001) return `Empty; it held ${litres(vessel.volume_l)}`;
  if (vessel.left_l >= vessel.volume_l - 0.001) return litres(vessel.volume_l);
  return `${litres(vessel.left_l)} of ${litres(vessel.volume_l)} left`;
}

const ALLERGENS: Record<string, string> = { gluten_cereals: 'gluten', nuts: 'nuts' };

/** "Contains or touched: milk, nuts." Null when nothing is known of any. */
export function warnedWords(allergens: readonly string[]): string | null {
  if (allergens.length === 0) return null;
  return `Contains or touched wood that held: ${listed(
    allergens.map((one) => ALLERGENS[one] ?? one.replaceAll('_', ' ')),
  )}.`;
}

/** Money in the club's currency: 4500 is 45.00. */
export function money(amount_minor: number, currency: string): string {
  const plain = new Intl.NumberFormat('en-GB', { style: 'currency', currency });
  const digits = plain.resolvedOptions().maximumFractionDigits ?? 2;
  return plain.format(amount_minor / 10 ** digits);
}
