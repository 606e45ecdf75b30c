/** A barrel that was registered on this phone and that the server does not know yet. */

import type { Barrel } from '../api/types.ts';
import type { OutboxEntry } from './entry.ts';
import { withMeasures } from './register-here.ts';

const text = (value: unknown): string => (typeof value === 'string' ? value : '');
const number = (value: unknown): number | null => (typeof value === 'number' ? value : null);

/** What can be said of it until the server has read it. */
export function newBarrel(entry: OutboxEntry): Barrel | null {
  const { body } = entry;
  const nominal_l = number(body.nominal_l);
  if (nominal_l === null) return null;
  const low = number(body.adopted_wood_used_low) ?? 0;
  const high = number(body.adopted_wood_used_high) ?? low;
  return withMeasures({
    id: entry.id,
    version: 1,
    name: text(body.name),
    tag_code: text(body.tag_code),
    place: text(body.place),
    nominal_l,
    capacity_l: nominal_l,
    capacity_basis: 'nominal',
    shape: {
      // Laid below, from its measures or from a barrel of usual proportions.
      profile: 'parabolic',
      bilge_diameter_cm: 0,
      head_diameter_cm: 0,
      length_cm: 0,
      stave_mm: number(body.stave_mm),
      stave_count: number(body.stave_count),
      assumed_mm: {},
    },
    wood: text(body.wood),
    char: text(body.char),
    bung_tight: body.bung_tight === true,
    max_abv_pct: 70,
    mass_full_kg: 1.4 * nominal_l,
    state: 'new',
    state_since: text(body.happened_at) || new Date(entry.made_at_ms).toISOString(),
    bung_clock: 12,
    contents: null,
    now: null,
    wood_used: { low, typical: (low + high) / 2, high },
    wood_spent: low >= 1,
    fills_left: {},
    held_before: [],
    carry_over_pct: null,
    allergens: Array.isArray(body.adopted_allergens) ? (body.adopted_allergens as Barrel['allergens']) : [],
    care: [],
    water: null,
    timeline: [],
    owners: [],
    next_reservation: null,
    troubles: [],
    loan: null,
    sulphite: null,
    repaired_at: null,
    tightness: { shown: 'unknown', at: null },
    former_tags: [],
    register: {
      dry_mass_kg: null,
      wet_mass_kg: null,
      weighed_capacity_l: null,
      bilge_diameter_cm: number(body.bilge_diameter_cm),
      head_diameter_cm: number(body.head_diameter_cm),
      length_cm: number(body.length_cm),
      outside_bilge_diameter_cm: number(body.outside_bilge_diameter_cm),
      outside_head_diameter_cm: number(body.outside_head_diameter_cm),
      outside_length_cm: number(body.outside_length_cm),
      stave_mm: number(body.stave_mm),
      head_mm: number(body.head_mm),
      chime_mm: number(body.chime_mm),
      hoops: '',
      spigot: '',
      bung: '',
      maker: text(body.maker),
      adopted: body.adopted === true,
      adopted_allergens: Array.isArray(body.adopted_allergens) ? (body.adopted_allergens as string[]) : [],
      note: text(body.note),
    },
  });
}
