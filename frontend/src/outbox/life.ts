/** What entries that are only on this phone make of a barrel: its state and water, its troubles, tag, place and loan. */

import type { Barrel, Contents } from '../api/types.ts';
import { readClub, readPlaces } from '../store/club.ts';
import { withFirstCare } from './care-fresh.ts';
import { withCare } from './care-here.ts';
import type { OutboxEntry } from './entry.ts';
import { newBarrel } from './new-barrel.ts';
import { tasted, unsettled, untasted } from './off-notes.ts';
import { fillCorrected, filled } from './overlay-fill.ts';
import { edited } from './register-here.ts';

export { newBarrel, withCare };

type Body = Record<string, unknown>;

const text = (value: unknown): string | null => (typeof value === 'string' ? value : null);
const number = (value: unknown): number | null => (typeof value === 'number' ? value : null);
const tasksOf = (body: Body): string[] => (Array.isArray(body.tasks) ? (body.tasks as string[]) : []);

const atOf = (entry: OutboxEntry): string =>
  text(entry.body.happened_at) ?? new Date(entry.made_at_ms).toISOString();

function water(entry: OutboxEntry, kind: 'curing' | 'hold'): Contents {
  return {
    stay: entry.id,
    kind,
    started_at: atOf(entry),
    name: null,
    spirit: null,
    family: null,
    abv_basis: null,
    is_private: false,
    open_to_tasting: false,
    may_taste: false,
    start_volume_l: number(entry.body.water_l) ?? 0,
    start_abv_pct: null,
    sugar_g_l: null,
    sharers: [],
    club_weight: 0,
    allergens: [],
    parts: null,
    sample_budget_ml: 0,
    sample_used_ml: 0,
    planned_days: null,
    near: null,
    forecast_at: null,
    climate_guessed: true,
    pull: null,
  };
}

type Shown = Barrel['tightness']['shown'];

const shown = (barrel: Barrel, what: Shown, at: string): Barrel => ({
  ...barrel,
  tightness: { shown: what, at },
});

/** A curing that something else ends was never called tight. */
const uncured = (barrel: Barrel, at: string): Barrel =>
  barrel.state === 'curing' ? shown(barrel, 'unfinished', at) : barrel;

/** A barrel whose curing came to nothing: back to where it was before. */
const untight = (barrel: Barrel): Barrel['state'] =>
  barrel.held_before.length > 0 || barrel.timeline.some((stay) => stay.kind !== 'curing') ? 'empty' : 'new';

function emptied(barrel: Barrel, state: Barrel['state'], at: string): Barrel {
  return {
    ...uncured(barrel, at),
    state,
    state_since: at,
    contents: null,
    now: null,
    water: null,
    bung_clock: 12,
    care: [],
  };
}

/** Two weights make a capacity true at once: the next mix is scaled to it. */
function weighed(barrel: Barrel, body: Body): Barrel {
  const capacity_l = number(body.weighed_capacity_l);
  if (capacity_l === null) return barrel;
  const wet_mass_kg = number(body.wet_mass_kg) ?? barrel.register.wet_mass_kg ?? null;
  return {
    ...barrel,
    capacity_l,
    capacity_basis: 'weighed',
    register: { ...barrel.register, weighed_capacity_l: capacity_l, wet_mass_kg },
  };
}

const solutionMade = (at: string): Barrel['sulphite'] => ({
  made_at: at,
  strip_mg_l: null,
  strip_at: null,
  is_clear: false,
});

/** An opening, or what ends one. */
function lifeOf(barrel: Barrel, entry: OutboxEntry): Barrel {
  const { body } = entry;
  const at = atOf(entry);
  switch (entry.collection) {
    case 'curings':
      return { ...emptied(barrel, 'curing', at), contents: water(entry, 'curing') };
    case 'holds':
      return {
        ...emptied(barrel, 'held', at),
        contents: water(entry, 'hold'),
        // From now on a strip must clear it before the next fill.
        sulphite: body.is_solution === true ? solutionMade(at) : barrel.sulphite,
        bung_clock: number(body.bung_clock) ?? 12,
        water: {
          changed_at: at,
          half_volume_l: barrel.capacity_l / 2,
          half_level: 0.5,
          top_up_at: null,
        },
      };
    case 'curing-verdicts': {
      const isTight = body.verdict === 'tight';
      const left = emptied(barrel, isTight ? 'ready' : untight(barrel), at);
      return weighed(shown(left, isTight ? 'tight' : 'given_up', at), body);
    }
    case 'drainings':
      return emptied(barrel, barrel.state === 'curing' ? untight(barrel) : 'empty', at);
    case 'fills':
      return filled(uncured(barrel, at), entry);
    case 'decants':
      return barrel.state === 'filled' ? shown(emptied(barrel, 'empty', at), 'held_a_fill', at) : barrel;
    case 'repairs':
      return {
        ...shown(barrel.contents ? emptied(barrel, 'empty', at) : barrel, 'repaired', at),
        repaired_at: at,
      };
    case 'retirements':
      return emptied(barrel, 'retired', at);
    default:
      return barrel;
  }
}

function troubled(barrel: Barrel, entry: OutboxEntry): Barrel {
  const { body } = entry;
  if (entry.collection === 'troubles') {
    const trouble: Barrel['troubles'][number] = {
      id: entry.id,
      kind: body.kind as Barrel['troubles'][number]['kind'],
      since: atOf(entry),
      sign: text(body.sign) ?? '',
      quarantine: body.quarantine === true,
      note: text(body.note) ?? '',
      tastes: [],
    };
    return { ...barrel, troubles: [...barrel.troubles, trouble] };
  }
  const left = { ...barrel, troubles: unsettled(barrel, body.trouble) };
  const isGone = body.outcome === 'rescued' || body.outcome === 'all_lost';
  return isGone && barrel.contents ? emptied(left, 'empty', atOf(entry)) : left;
}

function tended(barrel: Barrel, entry: OutboxEntry): Barrel {
  const { body } = entry;
  const clock = number(body.bung_clock);
  const changed = tasksOf(body).includes('water_change') && barrel.water !== null;
  return {
    ...barrel,
    ...(clock === null ? {} : { bung_clock: clock }),
    ...(changed ? { water: { ...barrel.water!, changed_at: atOf(entry), top_up_at: null } } : {}),
  };
}

function step(barrel: Barrel, entry: OutboxEntry): Barrel {
  const { body } = entry;
  switch (entry.collection) {
    case 'barrels':
      // Of a barrel that was registered here, the registration is the barrel; an edit says which version it saw.
      return entry.base_version !== null && entry.base_version >= barrel.version
        ? edited(barrel, body)
        : barrel;
    case 'troubles':
    case 'trouble-settlements':
      return troubled(barrel, entry);
    case 'tastings':
      return tasted(barrel, { id: entry.id, at: atOf(entry), body });
    case 'voids':
      return untasted(barrel, body.act);
    case 'tendings':
      return tended(barrel, entry);
    case 'moves':
      return { ...barrel, place: text(body.place) ?? barrel.place };
    case 'loans':
      return {
        ...barrel,
        care: [],
        loan: {
          borrower: text(body.borrower) ?? '',
          since: atOf(entry),
          back_by: text(body.back_by),
        },
      };
    case 'loan-returns':
      return { ...barrel, loan: null };
    case 'tag-issues': {
      const code = text(body.tag_code);
      if (!code || code === barrel.tag_code) return barrel;
      const former = { code: barrel.tag_code, replaced_at: atOf(entry) };
      return { ...barrel, tag_code: code, former_tags: [former, ...barrel.former_tags] };
    }
    case 'readings': {
      const strip = number(body.so2_mg_l);
      if (strip === null || !barrel.sulphite) return barrel;
      return {
        ...barrel,
        sulphite: { ...barrel.sulphite, strip_mg_l: strip, strip_at: atOf(entry), is_clear: strip < 10 },
      };
    }
    default:
      return lifeOf(barrel, entry);
  }
}

const inOrder = (a: OutboxEntry, b: OutboxEntry): number =>
  Date.parse(atOf(a)) - Date.parse(atOf(b)) || a.id.localeCompare(b.id);

/** Lays this phone's own entries over what the server last said of a barrel, in the order they happened. */
export function withLife(barrel: Barrel, entries: readonly OutboxEntry[]): Barrel {
  const own = entries
    .filter((entry) => !entry.body.replaces || entry.collection === 'tastings')
    .sort(inOrder);
  const lived = fillCorrected(
    own.reduce(step, barrel),
    entries
      .filter((entry) => entry.body.replaces && entry.collection === 'fills')
      .sort((a, b) => a.made_at_ms - b.made_at_ms),
  );
  return withFirstCare(lived, own, readClub.value, readPlaces.value);
}

/** The barrel as an entry of this phone found it; one that was registered here has no row of the server's yet. */
export function barrelBefore(
  entry: OutboxEntry,
  read: readonly Barrel[],
  entries: readonly OutboxEntry[],
): Barrel | undefined {
  const made = entries.find((one) => one.collection === 'barrels' && one.id === entry.barrel);
  const barrel = read.find((one) => one.id === entry.barrel) ?? (made && newBarrel(made));
  if (!barrel) return undefined;
  return withLife(
    barrel,
    entries.filter((one) => one.barrel === entry.barrel && inOrder(one, entry) < 0),
  );
}
