/** A fill that only this phone knows of: its barrel is filled here at once, with what is known without the server. */

import type { Allergen, Barrel, Contents, MixPart, Share } from '../api/types.ts';
import { readClub } from '../store/club.ts';
import type { Bodies } from './bodies.ts';
import type { OutboxEntry } from './entry.ts';

/** Of every litre, in mL: what a club that changed nothing lets its sharers taste away (4 %). */
const USUAL_BUDGET_PCT = 4;
const ML_PER_L_AND_PCT = 10;

const number = (value: unknown): number => (typeof value === 'number' ? value : 0);

function volumeOf(body: Bodies['fills']): number {
  if (typeof body.volume_l === 'number') return body.volume_l;
  return body.parts.reduce((sum, part) => sum + number(part.volume_l), 0);
}

function contentsOf(entry: OutboxEntry, budget_pct: number): Contents {
  const body = entry.body as unknown as Bodies['fills'];
  const start_volume_l = volumeOf(body);
  const parts: MixPart[] = body.parts.map((part) => ({
    name: part.name,
    volume_l: number(part.volume_l),
    abv_pct: number(part.abv_pct),
  }));
  return {
    stay: entry.id,
    kind: 'fill',
    started_at: String(entry.body.happened_at),
    name: body.name,
    spirit: body.spirit,
    family: body.family,
    abv_basis: body.abv_apparent_pct === undefined ? 'calculated' : 'measured',
    is_private: body.is_private ?? false,
    open_to_tasting: body.open_to_tasting ?? true,
    may_taste: true,
    start_volume_l,
    start_abv_pct: null,
    sugar_g_l: null,
    sharers: (body.sharers ?? []) as Share[],
    club_weight: (body.sharers ?? []).length > 0 ? number(body.club_weight) : 0,
    allergens: [...new Set(body.parts.flatMap((part) => (part.allergens ?? []) as Allergen[]))],
    parts,
    sample_budget_ml: Math.round(start_volume_l * ML_PER_L_AND_PCT * budget_pct),
    sample_used_ml: 0,
    planned_days: body.planned_days ?? null,
    near: null,
    forecast_at: null,
    climate_guessed: true,
    pull: null,
  };
}

/** Fills a barrel here, unless something is in it that a fill cannot follow: then the server decides. */
export function filled(
  barrel: Barrel,
  fill: OutboxEntry,
  budget_pct = readClub.peek()?.sample_budget_pct ?? USUAL_BUDGET_PCT,
): Barrel {
  if (barrel.state === 'filled' || barrel.state === 'retired') return barrel;
  const contents = contentsOf(fill, budget_pct);
  const before = barrel.timeline.map((stay) => ({ ...stay, to: stay.to ?? contents.started_at }));
  return {
    ...barrel,
    state: 'filled',
    state_since: contents.started_at,
    contents,
    now: null,
    water: null,
    bung_clock: 12,
    care: [],
    // The gate of the fill has answered for it.
    sulphite: null,
    // Wood remembers: whatever comes after this fill is warned of it.
    allergens: [...new Set([...barrel.allergens, ...contents.allergens])],
    timeline: [...before, { kind: 'fill', from: contents.started_at, to: null, name: contents.name }],
  };
}

/** Lays corrections of the fill in a barrel over it, each upon the one before; what lies in it is still the same. */
export function fillCorrected(barrel: Barrel, corrections: readonly OutboxEntry[]): Barrel {
  let { contents } = barrel;
  if (contents?.kind !== 'fill') return barrel;
  let version = contents.stay;
  for (const entry of corrections) {
    if (entry.body.replaces !== version) continue;
    version = entry.id;
    // Poured into another barrel, as it now says: which of the two it lay in is for the server to lay.
    if (entry.body.barrel !== undefined && entry.body.barrel !== barrel.id) continue;
    contents = correctedContents(contents, entry);
  }
  if (contents === barrel.contents) return barrel;
  const { name } = contents;
  return {
    ...barrel,
    contents,
    timeline: barrel.timeline.map((stay) => (stay.to === null ? { ...stay, name } : stay)),
  };
}

function correctedContents(contents: Contents, entry: OutboxEntry): Contents {
  const said = contentsOf(entry, USUAL_BUDGET_PCT);
  const isAlike =
    JSON.stringify(contents.parts?.map(poured)) === JSON.stringify(said.parts?.map(poured)) &&
    said.abv_basis === 'calculated';
  const { name, spirit, family, is_private, open_to_tasting, sharers, club_weight, planned_days } = said;
  const whose = { name, spirit, family, is_private, open_to_tasting, sharers, club_weight, planned_days };
  if (isAlike) return { ...contents, ...whose };
  // Another strength and another course are worked out by the server; until then none is better than the old one.
  const { parts, start_volume_l, start_abv_pct, sugar_g_l, near } = said;
  const allergens = [...new Set([...contents.allergens, ...said.allergens])];
  return { ...contents, ...whose, parts, start_volume_l, start_abv_pct, sugar_g_l, near, allergens };
}

const poured = ({ name, volume_l, abv_pct }: MixPart): unknown[] => [name, volume_l, abv_pct];
