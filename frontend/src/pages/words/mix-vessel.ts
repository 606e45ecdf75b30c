/** What comes out of a vessel as a part of a mix: what it brings along, whose it was, and what speaks against it. */

import type { Ingredient, Share, Vessel } from '~/api/types.ts';
import { EMPTY_BELOW_L, vesselName, warnedWords } from './glass.ts';
import { amountWords } from './mix.ts';
import { type AmountUnit, type Mix, type MixDraft, type MixPart, plainMix } from './mix-plan.ts';
import { listed, litres } from './numbers.ts';

export type Source = Pick<
  Vessel,
  | 'id'
  | 'name'
  | 'volume_l'
  | 'left_l'
  | 'abv_pct'
  | 'abv_basis'
  | 'sugar_g_l'
  | 'spirit'
  | 'family'
  | 'allergens'
  | 'is_private'
  | 'cost_minor'
  | 'club_weight'
  | 'shares'
>;

/** Two measures of one liquid differ by so much without anybody being wrong: as the server judges a draw. */
const MEASURE_TOLERANCE = 0.01;
/** More than 110 % of what was ever in it cannot come out of a vessel: the server refuses it. */
const MOST_FRACTION = 1.1;

/** As far as the guards of a mix ask; what was mixed before has no one kind. */
function kindOf(vessel: Source): Ingredient | null {
  if (vessel.family === 'wine') return 'wine';
  return vessel.family === 'cocktail' ? null : 'spirit';
}

/** What a vessel says of a part, whenever it is asked: a correction of its decant is heard by a mix that stands. */
function brought(vessel: Source) {
  return {
    name: vesselName(vessel),
    kind: kindOf(vessel),
    abv_pct: vessel.abv_pct ?? 0,
    abv_basis: vessel.abv_basis,
    sugar_g_l: vessel.sugar_g_l,
    allergens: vessel.allergens,
    cost_l_minor:
      vessel.cost_minor === null || vessel.volume_l <= 0 ? null : vessel.cost_minor / vessel.volume_l,
  };
}

/** So many litres of a vessel as a part: its amount is chosen, and no plan scales it. */
export function vesselPart(vessel: Source, volume_l: number, key: string): MixPart {
  return {
    ...brought(vessel),
    key,
    share_l: volume_l,
    bottle_ml: null,
    bottle_cost_minor: null,
    poured: null,
    vessel: vessel.id,
    supplied_by: null,
  };
}

/** Begins a mix of what came out of a barrel before. */
export function mixFromVessel(vessel: Source, volume_l: number): MixDraft {
  const mix = plainMix(vesselName(vessel), vessel.spirit, vessel.family, vessel.abv_pct ?? 0);
  return { ...mix, parts: [vesselPart(vessel, volume_l, '0')] };
}

/** As much of it as the barrel takes, headroom left. */
export function mostOf(vessel: Source, capacity_l: number, headroom_pct = 4): number {
  return Number(Math.min(vessel.left_l, capacity_l * (1 - headroom_pct / 100)).toFixed(3));
}

/** A mix with one more part, poured last. */
export function withPart(draft: MixDraft, part: MixPart): MixDraft {
  const taken = new Set(draft.parts.map((one) => one.key));
  let key = draft.parts.length;
  while (taken.has(String(key))) key += 1;
  return { ...draft, parts: [...draft.parts, { ...part, key: String(key) }] };
}

/** The mix as its vessels are known now. */
export function withVessels(draft: MixDraft, vessels: readonly Source[]): MixDraft {
  if (!draft.parts.some((part) => part.vessel)) return draft;
  return {
    ...draft,
    parts: draft.parts.map((part) => {
      const vessel = vessels.find((one) => one.id === part.vessel);
      // A strength that is no longer known is no reason to forget the one it was chosen by.
      return vessel && vessel.abv_pct !== null ? { ...part, ...brought(vessel) } : part;
    }),
  };
}

/** An amount that can come out of a vessel, or the sentence why it cannot. */
export function tooMuchWords(
  volume_l: number,
  vessel: Pick<Source, 'left_l'>,
  as: AmountUnit,
): string | null {
  if (volume_l <= vessel.left_l * (1 + MEASURE_TOLERANCE)) return null;
  return `Only ${amountWords(vessel.left_l, as)} is left in it, by what this phone knows.`;
}

/** What stands against pouring; `is_final` where the server would not have it at all. */
export interface VesselTrouble {
  words: string;
  is_final: boolean;
}

/** What has changed since the amounts were chosen: somebody else may have poured out of the same vessel. */
export function vesselTroubles(mix: Mix, vessels: readonly Source[]): VesselTrouble[] {
  return mix.parts.flatMap(({ part, volume_l }) => {
    if (!part.vessel || volume_l <= 0) return [];
    const vessel = vessels.find((one) => one.id === part.vessel);
    if (!vessel) {
      return [{ words: `${part.name} is no longer among the vessels on this phone.`, is_final: false }];
    }
    if (volume_l <= vessel.left_l * (1 + MEASURE_TOLERANCE)) return [];
    const is_final = volume_l > MOST_FRACTION * vessel.volume_l;
    const left = vessel.left_l <= EMPTY_BELOW_L ? 'nothing' : litres(vessel.left_l);
    const words = is_final
      ? `${part.name} never held ${litres(volume_l)}: it was ${litres(vessel.volume_l)} when it was made.`
      : `${litres(volume_l)} of ${part.name} goes in, and by the log ${left} is left of it.`;
    return [{ words, is_final }];
  });
}

/** What somebody, or under null the club, gave to a mix. */
export interface Gave {
  person: string | null;
  volume_l: number;
}

/** Who gave how much: out of a vessel by its shares, anything else by whoever supplied it. Water is nobody's. */
export function gaveOf(mix: Mix, vessels: readonly Source[]): Gave[] {
  const found = new Map<string | null, number>();
  const add = (person: string | null, volume_l: number): void => {
    if (volume_l > 0) found.set(person, (found.get(person) ?? 0) + volume_l);
  };
  for (const { part, volume_l } of mix.parts) {
    const vessel = part.vessel ? vessels.find((one) => one.id === part.vessel) : undefined;
    const whole = vessel ? vessel.shares.reduce((sum, one) => sum + one.weight, 0) + vessel.club_weight : 0;
    if (vessel && whole > 0) {
      for (const share of vessel.shares) add(share.person, (volume_l * share.weight) / whole);
      add(null, (volume_l * vessel.club_weight) / whole);
    } else if (part.kind !== 'water') {
      add(part.supplied_by, volume_l);
    }
  }
  return [...found]
    .map(([person, volume_l]) => ({ person, volume_l }))
    .sort((a, b) => Number(a.person === null) - Number(b.person === null) || b.volume_l - a.volume_l);
}

/** A whole that people still count in shares, and how far a share may be from what was given, of the whole. */
const MOST_SHARES = 20;
const NEAR = 0.005;
/** A dash that the club adds to people's liquid makes it no sharer: a working assumption. */
const CLUB_LEAST = 0.025;

/** Whose a fill is: people's shares, and the club's own weight beside them. */
export interface Whose {
  sharers: Share[];
  club_weight: number;
}

/**
 * Shares in proportion to what each gave, the club among them: in few whole shares where that comes near enough, else in
 * hundredths. What the club alone gave is the club's, and needs no shares.
 */
export function suggestedShares(given: readonly Gave[]): Whose {
  if (!given.some(({ person }) => person !== null)) return { sharers: [], club_weight: 0 };
  const all_l = given.reduce((sum, one) => sum + one.volume_l, 0);
  const gave = given.filter(({ person, volume_l }) => person !== null || volume_l >= CLUB_LEAST * all_l);
  const whole_l = gave.reduce((sum, one) => sum + one.volume_l, 0);
  const inSo = (many: number): number[] =>
    gave.map(({ volume_l }) => Math.max(1, Math.round((many * volume_l) / whole_l)));
  const isNear = (weights: readonly number[]): boolean => {
    const all = weights.reduce((sum, one) => sum + one, 0);
    return weights.every((weight, i) => Math.abs(weight / all - gave[i]!.volume_l / whole_l) <= NEAR);
  };
  let weights = inSo(100);
  for (let many = gave.length; many <= MOST_SHARES; many += 1) {
    if (isNear(inSo(many))) {
      weights = inSo(many);
      break;
    }
  }
  return {
    sharers: gave.flatMap(({ person }, i) => (person === null ? [] : [{ person, weight: weights[i]! }])),
    club_weight: weights[gave.findIndex(({ person }) => person === null)] ?? 0,
  };
}

/** "Ash gave 2 L, Rowan 1 L and the club 2 L." */
export function gaveSentence(gave: readonly Gave[], nameOf: (person: string) => string): string {
  const each = gave.map(({ person, volume_l }, i) => {
    const who = person === null ? 'the club' : nameOf(person);
    return `${i === 0 && person === null ? 'The club' : who}${i === 0 ? ' gave' : ''} ${litres(volume_l)}`;
  });
  return each.length > 0 ? `${listed(each)}.` : '';
}

/** Whose liquid goes in without a share in the fill; null where nobody's does. */
export function leftOutSentence(
  gave: readonly Gave[],
  sharers: readonly Share[],
  nameOf: (person: string) => string,
): string | null {
  const without = gave.filter(
    ({ person }) => person !== null && !sharers.some((share) => share.person === person),
  );
  if (without.length === 0) return null;
  const whose = listed(
    without.map(({ person, volume_l }) => `${litres(volume_l)} of ${nameOf(person ?? '')}’s`),
  );
  return `${whose} goes in without a share in the fill. Agree on that first.`;
}

/** What a part out of a vessel warns of, in the sentence of the vessel itself. */
export function partWarning(part: MixPart): string | null {
  return part.vessel ? warnedWords(part.allergens ?? []) : null;
}

/** Whether anything private goes in: then the fill is private too, unless somebody says otherwise. */
export function bringsPrivate(draft: MixDraft, vessels: readonly Source[]): boolean {
  return draft.parts.some((part) => vessels.some((one) => one.id === part.vessel && one.is_private));
}
