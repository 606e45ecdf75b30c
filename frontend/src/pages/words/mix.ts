/** The sentences of a mix: amounts as the cook thinks, what they make, and what stands against it. */

import type { Barrel } from '~/api/types.ts';
import { rangeText } from '~/components/range/format.ts';
import type { Bodies } from '~/outbox/bodies.ts';
import type { Guard } from '~/science/guards.ts';
import { allergenWord } from './ingredients.ts';
import {
  type AmountUnit,
  FL_OZ_L,
  type Mix,
  type MixDraft,
  type MixPart,
  type PartNow,
  USUAL_BOTTLE_ML,
} from './mix-plan.ts';
import { capital, listed, litres, unit } from './numbers.ts';
import { typedNumber } from './typed.ts';

export const UNIT_OPTIONS: { value: AmountUnit; label: string }[] = [
  { value: 'L', label: 'Litres' },
  { value: 'mL', label: 'mL' },
  { value: 'fl oz', label: 'US fl oz' },
  { value: 'bottles', label: 'Bottles' },
];

const bottleL = (part: Pick<MixPart, 'bottle_ml'>): number => (part.bottle_ml ?? USUAL_BOTTLE_ML) / 1000;

/** "2.60 L", "2600 mL", "87.9 fl oz", "3.7 bottles" */
export function amountWords(
  volume_l: number,
  as: AmountUnit,
  part: Pick<MixPart, 'bottle_ml'> = { bottle_ml: null },
): string {
  switch (as) {
    case 'mL':
      return unit(volume_l < 0.02 ? (volume_l * 1000).toFixed(1) : Math.round(volume_l * 1000), 'mL');
    case 'fl oz':
      return unit((volume_l / FL_OZ_L).toFixed(1), 'fl oz');
    case 'bottles':
      return bottlesWords(volume_l, part);
    default:
      return volume_l < 0.1
        ? unit((volume_l * 1000).toFixed(volume_l < 0.02 ? 1 : 0), 'mL')
        : unit(volume_l.toFixed(2), 'L');
  }
}

/** "3.7 bottles", "one bottle", "2 bottles" */
export function bottlesWords(volume_l: number, part: Pick<MixPart, 'bottle_ml'>): string {
  const share = volume_l / bottleL(part);
  const count = Number(share.toFixed(share < 0.1 ? 2 : 1));
  return count === 1 ? 'one bottle' : unit(count, 'bottles');
}

/** A typed amount in litres, or null where it is none. */
export function typedAmountL(
  text: string,
  as: AmountUnit,
  part: Pick<MixPart, 'bottle_ml'> = { bottle_ml: null },
): number | null {
  const typed = typedNumber(text);
  if (typed === null || typed < 0) return null;
  const in_l = { L: 1, mL: 0.001, 'fl oz': FL_OZ_L, bottles: bottleL(part) }[as];
  const volume_l = typed * in_l;
  return volume_l <= 400 ? volume_l : null;
}

/** The figure alone, as a field shows it. */
export function amountText(
  volume_l: number,
  as: AmountUnit,
  part: Pick<MixPart, 'bottle_ml'> = { bottle_ml: null },
): string {
  const by = { L: 1, mL: 0.001, 'fl oz': FL_OZ_L, bottles: bottleL(part) }[as];
  const decimals = { L: 3, mL: 0, 'fl oz': 1, bottles: 2 }[as];
  return String(Number((volume_l / by).toFixed(decimals)));
}

/** What stands large beside the picture: the measured amount, or the scale's figure. */
export function pourWords(row: PartNow, draft: Pick<MixDraft, 'unit' | 'by'>): string {
  if (draft.by === 'weight') return weightWords(row.mass_kg);
  return amountWords(row.volume_l, draft.unit, row.part);
}

/** What the plan said of it, as it is measured: on the scale, or in the unit that was chosen. */
export function plannedWords(row: PartNow, draft: Pick<MixDraft, 'unit' | 'by'>): string {
  if (draft.by === 'weight' && row.volume_l > 0)
    return weightWords((row.mass_kg * row.planned_l) / row.volume_l);
  return amountWords(row.planned_l, draft.unit, row.part);
}

export function weightWords(mass_kg: number): string {
  return mass_kg < 1 ? unit(Math.round(mass_kg * 1000), 'g') : unit(mass_kg.toFixed(3), 'kg');
}

/** A vessel has no label: how its strength is known stands in the label's place. */
const BASIS: Record<NonNullable<MixPart['abv_basis']>, string> = {
  measured: 'measured',
  as_filled: 'as it was filled',
  calculated: 'calculated',
};

/** "46 %, 3.7 bottles": what is not said already. */
export function pourNote(row: PartNow, draft: Pick<MixDraft, 'unit' | 'by'>): string {
  const { part } = row;
  const strength = part.abv_pct > 0 ? unit(Number(part.abv_pct.toFixed(1)), '%') : '';
  if (part.vessel) return [strength, BASIS[part.abv_basis ?? 'calculated']].filter(Boolean).join(', ');
  const other =
    draft.by === 'weight'
      ? amountWords(row.volume_l, draft.unit, part)
      : draft.unit !== 'bottles' && part.kind !== 'water'
        ? bottlesWords(row.volume_l, part)
        : draft.unit === 'bottles'
          ? amountWords(row.volume_l, 'mL')
          : '';
  return [strength, other].filter(Boolean).join(', ');
}

/** "About 4.6 L, calculated 32 to 34 % vol." */
export function makesSentence(mix: Mix): string {
  const volume = Number(mix.in_barrel_l.toFixed(mix.in_barrel_l < 10 ? 2 : 1));
  const strength = rangeText({ low: mix.abv_low_pct, high: mix.abv_high_pct, unit: '% vol' });
  return `About ${unit(volume, 'L')}, calculated ${strength.replace(/^about /, 'about ')}.`;
}

/** What becomes of it in mixing and in the wood, sugar, drinks and cost. */
export function detailSentences(mix: Mix, currency: string): string[] {
  const found: string[] = [];
  const shrinks = Math.round(mix.contraction_l * 1000);
  if (mix.parts.length > 1) {
    found.push(
      shrinks > 0
        ? `${litres(mix.poured_l)} poured shrinks by about ${unit(roundTo(shrinks), 'mL')} in mixing.`
        : `${litres(mix.poured_l)} poured; it does not shrink in mixing.`,
    );
  }
  const soak = rangeText({ low: mix.soak_low_l * 1000, high: mix.soak_high_l * 1000, unit: 'mL' });
  found.push(`The wood drinks ${soak} in its first weeks.`);
  if (mix.kept_back_l > 0) {
    found.push(`${litres(mix.kept_back_l)} of the mix is kept in glass, to top up with.`);
  }
  if (mix.sugar_g_l >= 0.5) found.push(`Sugar about ${unit(Math.round(mix.sugar_g_l), 'g/L')}.`);
  found.push(`${Math.round(mix.drinks)} standard drinks of ${unit(mix.drink_g, 'g')}.`);
  if (mix.cost_minor !== null) {
    const cost = moneyWords(mix.cost_minor, currency);
    found.push(mix.is_cost_whole ? `Cost ${cost}.` : `Cost ${cost}, without what has no price yet.`);
  }
  return found;
}

function roundTo(ml: number): number {
  return ml < 20 ? ml : Math.round(ml / 5) * 5;
}

export function moneyWords(minor: number, currency: string): string {
  const format = new Intl.NumberFormat('en-GB', { style: 'currency', currency });
  const digits = format.resolvedOptions().maximumFractionDigits ?? 2;
  return format.format(minor / 10 ** digits);
}

/** Less than this over the brim is a matter of rounding. */
export const OVER_L = 0.005;

/** "0.4 L stays empty", "0.1 L more than it holds" */
export function emptyWords(mix: Mix): string {
  if (mix.over_l > OVER_L) return `${amountWords(mix.over_l, 'L')} more than it holds`;
  return `${amountWords(mix.empty_l, 'L')} stays empty`;
}

/** Read aloud for the picture. */
export function planSentence(name: string, mix: Mix): string {
  const lines = mix.parts.map((row) => `${row.part.name} to ${row.filled_l.toFixed(2)}`);
  const [first, ...rest] = lines;
  const all = listed([`${first} litres`, ...rest]);
  const count = mix.parts.length === 1 ? 'one line' : `${mix.parts.length} lines`;
  return `${name} filled to ${count}: ${all}; ${emptyWords(mix).replaceAll('\u00a0L', ' litres')}.`;
}

export interface GuardLine {
  level: Guard['level'] | 'well' | 'missing';
  words: string;
}

/** What speaks for and against the mix, the loudest first; `troubles` are those of the vessels it comes out of. */
export function guardLines(mix: Mix, troubles: readonly string[] = []): GuardLine[] {
  const lines: GuardLine[] = mix.guards.map((guard) => ({ level: guard.level, words: guard.reason }));
  const codes = mix.guards.map((guard) => guard.code);
  if (mix.over_l > OVER_L) {
    lines.unshift({
      level: 'strong_warning',
      words: `This is ${amountWords(mix.over_l, 'L')} more than the barrel holds. Pour less, or keep some back.`,
    });
  }
  lines.unshift(...troubles.map((words) => ({ level: 'strong_warning' as const, words })));
  if (mix.unread.length > 0) {
    const whose = listed(mix.unread.map((name) => `${name}’s`));
    const what = mix.unread.length === 1 ? 'allergen line is' : 'allergen lines are';
    lines.push({ level: 'missing', words: `${capital(whose)} ${what} missing.` });
  }
  const isKeeping = !codes.some((code) => ['too_weak', 'may_spoil', 'wine_based'].includes(code));
  const isClean = !codes.some((code) => code.startsWith('never_in_wood') || code.startsWith('clogs'));
  const well = [
    isKeeping ? 'Strong enough to keep.' : '',
    isClean ? 'Nothing in it that harms the wood.' : '',
  ].filter(Boolean);
  if (well.length > 0) lines.push({ level: 'well', words: well.join(' ') });
  return lines;
}

/** "Allergens: nuts and milk." */
export function allergensSentence(names: readonly string[]): string {
  return `Allergens: ${listed(names.map(allergenWord))}.`;
}

type FillBody = Bodies['fills'];

/** As far as a barrel may be filled over what it is said to hold: by name or tape it may hold more. */
const OVERFILL_FRACTION = 1.1;

/** What goes in of a mix that is too much: all of it where that may be, else up to the headroom. */
export function goesInL(
  mix: Mix,
  draft: Pick<MixDraft, 'headroom_pct'>,
  { capacity_l, capacity_basis }: Pick<Barrel, 'capacity_l' | 'capacity_basis'>,
): number {
  if (mix.over_l <= OVER_L) return mix.in_barrel_l;
  if (capacity_basis !== 'weighed' && mix.in_barrel_l <= OVERFILL_FRACTION * capacity_l)
    return mix.in_barrel_l;
  return capacity_l * (1 - draft.headroom_pct / 100);
}

/** What was poured, in order, and the fill's own copy of the recipe as it was scaled. */
export function mixBody(
  draft: MixDraft,
  mix: Mix,
  barrel: Pick<Barrel, 'capacity_l' | 'capacity_basis'>,
): Pick<FillBody, 'parts' | 'plan'> & Partial<Pick<FillBody, 'volume_l' | 'recipe' | 'recipe_version'>> {
  const round = (value: number, digits: number): number => Number(value.toFixed(digits));
  const in_barrel_l = goesInL(mix, draft, barrel);
  const kept_back_l = Math.max(0, mix.mixed_l - in_barrel_l);
  return {
    parts: mix.parts
      .filter((row) => row.volume_l > 0)
      .map((row) => ({
        name: row.part.name,
        ...(row.part.kind ? { kind: row.part.kind } : {}),
        volume_l: round(row.volume_l, 4),
        ...(row.part.poured && 'mass_kg' in row.part.poured ? { mass_kg: row.part.poured.mass_kg } : {}),
        abv_pct: row.part.abv_pct,
        ...(row.part.sugar_g_l > 0 ? { sugar_g_l: row.part.sugar_g_l } : {}),
        ...(draft.temp_c === 20 ? {} : { temp_c: draft.temp_c }),
        ...(row.part.vessel ? { vessel: row.part.vessel } : {}),
        ...(row.part.supplied_by ? { supplied_by: row.part.supplied_by } : {}),
        // What a vessel cost is the server's to say, and to say anew when it is corrected.
        ...(row.cost_minor === null || row.part.vessel ? {} : { cost_minor: row.cost_minor }),
        ...(row.part.allergens ? { allergens: row.part.allergens } : {}),
      })),
    plan: {
      name: draft.name,
      capacity_l: barrel.capacity_l,
      headroom_pct: draft.headroom_pct,
      for_the_wood_l: round(mix.for_the_wood_l, 4),
      kept_back_l: round(kept_back_l, 4),
      parts: mix.parts
        .filter((row) => row.planned_l > 0)
        .map((row) => ({
          name: row.part.name,
          kind: row.part.kind,
          volume_l: round(row.planned_l, 4),
          abv_pct: row.part.abv_pct,
          sugar_g_l: row.part.sugar_g_l,
          allergens: row.part.allergens,
          bottle_ml: row.part.bottle_ml,
          bottle_cost_minor: row.part.bottle_cost_minor,
        })),
    },
    ...(round(kept_back_l, 4) > 0 ? { volume_l: round(in_barrel_l, 4) } : {}),
    ...(draft.recipe
      ? {
          recipe: draft.recipe.id,
          ...(draft.recipe.version === null ? {} : { recipe_version: draft.recipe.version }),
        }
      : {}),
  };
}
