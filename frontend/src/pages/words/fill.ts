/** The fill itself: whose it is, how strong, and the entries that it leaves. */

import type { Barrel, Reservation } from '~/api/types.ts';
import type { Bodies } from '~/outbox/bodies.ts';
import { abvPctFromReading } from '~/science/alcoholometry.ts';
import { READABLE_SUGAR_G_L } from '~/science/tables.ts';
import { abvPct, celsius } from '~/science/units.ts';
import { type Gate, gatesBody } from './gates.ts';
import { mixBody } from './mix.ts';
import type { Mix, MixDraft } from './mix-plan.ts';

export interface FillDraft {
  /** Gates that somebody ticked. */
  accepted: string[];
  /** Null: as the reservation says, or nobody's yet. */
  sharers: { person: string; weight: number }[] | null;
  /** What the club holds itself beside them; null with the sharers. */
  club_weight: number | null;
  name: string | null;
  weeks: number | null;
  /** Null: as private as what it comes out of. */
  is_private: boolean | null;
  open_to_tasting: boolean;
  /** Null: as it suits; the reservation's id is looked up anew. */
  for_reservation: boolean | null;
  reading: { apparent_pct: number | null; temp_c: number | null };
  is_rolled: boolean;
}

export const NEW_FILL: FillDraft = {
  accepted: [],
  sharers: null,
  club_weight: null,
  name: null,
  weeks: null,
  is_private: null,
  open_to_tasting: true,
  for_reservation: null,
  reading: { apparent_pct: null, temp_c: null },
  is_rolled: true,
};

/** A fill so long before its first day is hardly the one that was reserved. */
const SOON_DAYS = 14;

/** The reservation that this fill is probably for. */
export function reservationFor(
  barrel: Barrel,
  known: readonly Reservation[],
  today_ms: number,
): Reservation | null {
  const next = known.find((one) => one.id === barrel.next_reservation?.id);
  if (!next) return null;
  return Date.parse(next.starts_on) - today_ms <= SOON_DAYS * 86_400_000 ? next : null;
}

export type Reading =
  | { state: 'none' }
  | { state: 'unfit' }
  | { state: 'half' }
  | { state: 'wrong'; words: string }
  | { state: 'read'; abv_pct: number };

/** What the alcoholmeter means at 20 °C; in a sweet mix it means nothing. */
export function readingOf(reading: FillDraft['reading'], sugar_g_l: number): Reading {
  if (sugar_g_l > READABLE_SUGAR_G_L) return { state: 'unfit' };
  const { apparent_pct, temp_c } = reading;
  if (apparent_pct === null && temp_c === null) return { state: 'none' };
  if (apparent_pct === null || temp_c === null) return { state: 'half' };
  try {
    return { state: 'read', abv_pct: abvPctFromReading(abvPct(apparent_pct), celsius(temp_c)) };
  } catch (error) {
    return { state: 'wrong', words: error instanceof Error ? error.message : 'That is no reading.' };
  }
}

export function readingSentence(reading: Reading): string {
  switch (reading.state) {
    case 'unfit':
      return 'A sweetened mix is not read with an alcoholmeter: sugar hides strength. The calculated figure stands.';
    case 'half':
      return 'A reading needs its temperature.';
    case 'wrong':
      return reading.words;
    case 'read':
      return `Measured: ${reading.abv_pct.toFixed(1)}\u00a0%\u00a0vol at 20\u00a0°C.`;
    default:
      return 'Without a reading the strength is the label’s, or calculated from the labels.';
  }
}

interface Filling {
  barrel: Barrel;
  mix: Mix;
  draft: MixDraft;
  fill: FillDraft;
  gates: Gate[];
  sharers: { person: string; weight: number }[];
  club_weight: number;
  reservation: Reservation | null;
  /** Whether the fill is kept from those who do not share it. */
  is_private: boolean;
}

const DAYS_A_WEEK = 7;

/** The entries that a fill leaves, in order: a rinse that was just done, the fill, its first roll. */
export function fillBodies(filling: Filling): {
  rinse: Bodies['tendings'] | null;
  fill: Bodies['fills'];
  roll: Bodies['tendings'] | null;
} {
  const { barrel, mix, draft, fill, gates, sharers, club_weight, reservation, is_private } = filling;
  const weeks = fill.weeks ?? (draft.planned_days === null ? null : draft.planned_days / DAYS_A_WEEK);
  const reading = readingOf(fill.reading, mix.sugar_g_l);
  const wasRinsed = gates.some((gate) => gate.does === 'rinse' && fill.accepted.includes(gate.gate));
  return {
    rinse: wasRinsed ? { barrel: barrel.id, tasks: ['rinse'] } : null,
    fill: {
      barrel: barrel.id,
      name: (fill.name ?? draft.name).trim() || draft.name,
      spirit: draft.spirit,
      family: draft.family,
      ...mixBody(draft, mix, barrel),
      sharers,
      ...(sharers.length > 0 && club_weight > 0 ? { club_weight } : {}),
      gates: gatesBody(gates, fill.accepted),
      is_private,
      open_to_tasting: fill.open_to_tasting && !is_private,
      ...(weeks === null ? {} : { planned_days: Math.max(1, Math.round(weeks * DAYS_A_WEEK)) }),
      ...(reservation ? { reservation: reservation.id } : {}),
      ...(reading.state === 'read'
        ? { abv_apparent_pct: fill.reading.apparent_pct, abv_temp_c: fill.reading.temp_c }
        : {}),
    },
    roll: fill.is_rolled ? { barrel: barrel.id, tasks: ['roll'], bung_clock: 12 } : null,
  };
}
