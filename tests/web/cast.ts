/** The cast and the things of the web tests: one member, one club, two barrels. */

import type { Barrel, Flight, LogEntry, Reservation, Vessel } from '~/api/types.ts';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import type { Pull } from '~/pages/words/best-weeks.ts';
import { type ClubDatabase, openDatabase } from '~/store/db.ts';

export const CLUB = '11111111-1111-4111-8111-111111111111';
export const MEMBER = '22222222-2222-4222-8222-222222222222';
export const USER = '33333333-3333-4333-8333-333333333333';
export const NEAP = '44444444-4444-7444-8444-444444444444';
export const EBB = '55555555-5555-7555-8555-555555555555';
export const FILL = '66666666-6666-7666-8666-666666666666';
/** 2026-03-01T12:00:00Z */
export const NOON_MS = 1_772_366_400_000;

export const SESSION = {
  user: { id: USER, email: 'member@club.example' },
  persons: [
    {
      id: MEMBER,
      name: 'Member',
      role: 'member' as const,
      club: { id: CLUB, slug: 'club', name: 'The club' },
    },
  ],
};

let databases = 0;

/** An empty database of its own for each test. */
export function freshDatabase(): Promise<ClubDatabase> {
  databases += 1;
  return openDatabase(`test-${databases}-${Math.random()}`);
}

export function tasting(
  barrel: string = NEAP,
  more: Record<string, unknown> = {},
  made: Partial<Parameters<typeof makeEntry>[0]> = {},
): Omit<OutboxEntry, 'order'> {
  const at = new Date(made.now_ms ?? NOON_MS).toISOString();
  return makeEntry({
    club: CLUB,
    author: MEMBER,
    collection: 'tastings',
    body: {
      schema: 1,
      happened_at: at,
      entered_at: at,
      barrel,
      fill: FILL,
      tasted_on: '2026-03-01',
      liking: 7.5,
      sample_ml: 5,
      ...more,
    },
    now_ms: NOON_MS,
    ...made,
  });
}

export function logEntry(more: Partial<LogEntry> = {}): LogEntry {
  return {
    id: FILL,
    collection: 'fills',
    barrel: NEAP,
    stay: FILL,
    author: MEMBER,
    subject: null,
    happened_at: '2026-02-01T12:00:00Z',
    entered_at: '2026-02-01T12:00:00Z',
    received_at: '2026-02-01T12:00:01Z',
    placement: 'placed',
    set_aside_reason: '',
    flags: [],
    replaces: null,
    is_head: true,
    is_void: false,
    body: {},
    ...more,
  };
}

/** What the server answers to an act, as the OpenAPI file has it. */
export function actAnswer(entry: Pick<OutboxEntry, 'id' | 'collection' | 'body'>): Record<string, unknown> {
  const row = logEntry({
    id: entry.id,
    collection: entry.collection,
    barrel: (entry.body.barrel as string) ?? null,
    happened_at: String(entry.body.happened_at ?? '2026-03-01T12:00:00Z'),
    body: entry.body,
  });
  return {
    id: entry.id,
    collection: entry.collection,
    placement: 'placed',
    set_aside_reason: '',
    flags: [],
    row,
  };
}

export function barrel(more: Partial<Barrel> = {}): Barrel {
  return {
    id: NEAP,
    version: 1,
    name: 'Neap',
    tag_code: 'NEAPSX',
    place: CLUB,
    nominal_l: 5,
    capacity_l: 5,
    capacity_basis: 'nominal',
    shape: {
      profile: 'parabolic',
      bilge_diameter_cm: 20,
      head_diameter_cm: 17,
      length_cm: 24,
      stave_mm: null,
      assumed_mm: {},
      stave_count: null,
    },
    wood: '',
    char: '',
    bung_tight: false,
    max_abv_pct: 70,
    mass_full_kg: 9,
    state: 'filled',
    state_since: '2026-02-01T12:00:00Z',
    bung_clock: 12,
    contents: {
      stay: FILL,
      kind: 'fill',
      started_at: '2026-02-01T12:00:00Z',
      name: 'Rye',
      spirit: 'whisky',
      family: 'spirit',
      abv_basis: 'label',
      is_private: false,
      open_to_tasting: true,
      may_taste: true,
      start_volume_l: 5,
      start_abv_pct: 60,
      sugar_g_l: null,
      sharers: [],
      club_weight: 0,
      allergens: [],
      parts: [],
      sample_budget_ml: 200,
      sample_used_ml: 40,
      planned_days: null,
      near: null,
      forecast_at: null,
      climate_guessed: true,
      pull: null,
    },
    now: null,
    wood_used: { low: 0.1, typical: 0.2, high: 0.3 },
    wood_spent: false,
    fills_left: {},
    held_before: [],
    carry_over_pct: null,
    allergens: [],
    care: [
      {
        task: 'roll',
        last_at: '2026-02-22T12:00:00Z',
        due_at: '2026-03-01T12:00:00Z',
        late_at: '2026-03-03T12:00:00Z',
      },
    ],
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
      bilge_diameter_cm: null,
      head_diameter_cm: null,
      length_cm: null,
      outside_bilge_diameter_cm: null,
      outside_head_diameter_cm: null,
      outside_length_cm: null,
      stave_mm: null,
      head_mm: null,
      chime_mm: null,
      hoops: '',
      spigot: '',
      bung: '',
      maker: '',
      adopted: false,
      adopted_allergens: [],
      note: '',
    },
    ...more,
  };
}

export function reservation(more: Partial<Reservation> = {}): Reservation {
  return {
    id: '77777777-7777-7777-8777-777777777777',
    version: 1,
    barrel: NEAP,
    person: MEMBER,
    starts_on: '2026-06-01',
    ends_on: '2026-08-01',
    state: 'pencilled',
    waiting_place: null,
    fill_name: 'Rye',
    spirit: 'whisky',
    family: 'spirit',
    volume_l: 5,
    abv_pct: 60,
    oak_wish: 3,
    shares: [],
    note: '',
    asked_at: '2026-03-01T12:00:00Z',
    expires_at: null,
    decided_by: null,
    reason: '',
    ...more,
  };
}

/** A blind flight of three glasses for the member and one more, poured by somebody else. */
export function flight(more: Partial<Flight> = {}): Flight {
  return {
    id: '77777777-7777-7777-8777-777777777777',
    pourer: USER,
    poured_at: '2026-03-01T12:00:00Z',
    sample_ml: 10,
    ethanol_ml: 16.5,
    allergens: [],
    note: '',
    opened_at: null,
    opened_by: null,
    called_off_at: null,
    called_off_by: null,
    called_off_reason: '',
    glasses: 3,
    tasters: [
      { person: MEMBER, scored: 0, codes: ['655', '412', '783'] },
      { person: FILL, scored: 0, codes: null },
    ],
    mine: [],
    key: null,
    scores: null,
    own: null,
    ...more,
  };
}

/** What the scores of a fill say of its best week: weeks 6 to 9, and it is still getting better. */
export function pull(more: Partial<Pull> = {}): Pull {
  return {
    made_at: '2026-03-01T12:00:00Z',
    scores: 6,
    tasters: 2,
    last_tasted_on: '2026-03-01',
    best_week: { low: 5.2, mid: 6.9, high: 8.7 },
    prior_week: 5,
    prior_basis: 'table',
    verdict: 'keep_going',
    reason: 'still_rising',
    log_more: 0,
    p_more: 0.8,
    p_past: 0.1,
    is_pull_advised: false,
    agreement: null,
    curve: { weeks: [0, 4, 8, 12], mean: [5, 7, 8, 7], low: [4, 6.5, 7, 5], high: [6, 7.5, 9, 9] },
    ...more,
  };
}

export const VESSEL = '99999999-9999-7999-8999-999999999999';

/** Rye that came out of the first barrel; it is the club's alone. */
export function vessel(more: Partial<Vessel> = {}): Vessel {
  return {
    id: VESSEL,
    name: 'rye',
    made_by: 'decants',
    made_at: '2026-04-01T12:00:00Z',
    barrel: NEAP,
    fill: FILL,
    volume_l: 2.45,
    expected_l: null,
    left_l: 2.45,
    abv_pct: 40,
    abv_basis: 'measured',
    sugar_g_l: 0,
    spirit: 'whisky',
    family: 'spirit',
    allergens: [],
    is_private: false,
    is_wine_based: false,
    ties: [],
    ties_lost: [],
    cost_minor: null,
    club_weight: 1,
    shares: [],
    draws: [],
    bottlings: [],
    ...more,
  };
}
