/** What one database holds: the club as last read, this account's unsent entries, and its drafts. */

import type { DBSchema } from 'idb';
import type { FieldProblem } from '../api/errors.ts';
import type {
  Barrel,
  Bottle,
  Club,
  Flight,
  LogEntry,
  Notice,
  Person,
  Photo,
  Place,
  Recipe,
  Reservation,
  Uuid,
  Vessel,
} from '../api/types.ts';

/** A row as the server sent it; `round` says which full reading of the feed brought it. */
export interface Kept<T> {
  id: Uuid;
  round: number;
  row: T;
}

export interface KeptLogEntry extends Kept<LogEntry> {
  /** '' for an act that is about no barrel: an index leaves out null. */
  barrel: Uuid | '';
  at_ms: number;
}

export type EntryState = 'queued' | 'sending' | 'done' | 'refused' | 'conflicted';

/** Why an entry still waits, said in words on the screen. */
export type EntryTrouble = 'no_signal' | 'server' | 'busy' | 'signed_out';

/** One write of this phone. Its `id` is the row's key for ever, and its `text` never changes once it was sent. */
export interface OutboxEntry {
  id: Uuid;
  /** The place in the queue. */
  order: number;
  method: 'PUT' | 'PATCH';
  collection: string;
  path: string;
  /** The row that is written: the entry's own id, but for an edit the id of what it edits. */
  target: Uuid;
  barrel: Uuid | null;
  author: Uuid;
  body: Record<string, unknown>;
  /** The body as it goes over the wire. */
  text: string;
  /** The version an edit was made against. */
  base_version: number | null;
  state: EntryState;
  made_at_ms: number;
  /** Times it was sent, with or without an answer. */
  tries: number;
  next_try_at_ms: number;
  trouble: EntryTrouble | null;
  problem: { status: number; code: string; title: string; detail: string; fields: FieldProblem[] } | null;
  /** The server's answer that named this id. */
  answer: Record<string, unknown> | null;
  done_at_ms: number | null;
  /** The changes feed has caught up: the store shows it without help. */
  is_read_back: boolean;
  /** For a conflicted edit: the row as it stands on the server. */
  theirs: Record<string, unknown> | null;
  /** The entry that this one was mended from. */
  mends: Uuid | null;
  /** The entry that took this one's place. */
  mended_by: Uuid | null;
}

export interface KeptPhoto extends Kept<Photo> {
  act: Uuid;
}

/** A photo of this phone that is not sent, with its file. It goes after the entry it belongs to. */
export interface QueuedPhoto {
  id: Uuid;
  /** The entry it belongs to. */
  act: Uuid;
  barrel: Uuid | null;
  author: Uuid;
  /** A JPEG file, made small already. */
  file: ArrayBuffer;
  /** Its SHA-256 in base64, as it goes over the wire. */
  digest: string;
  made_at_ms: number;
  tries: number;
  next_try_at_ms: number;
  /** Why the server would not have it; it then waits for its author. */
  refused: string | null;
}

export interface Draft {
  key: string;
  saved_at_ms: number;
  value: unknown;
}

/** The last answer of a read that is not in the feed. */
export interface KeptAnswer {
  key: string;
  at_ms: number;
  data: unknown;
}

export interface ClubSchema extends DBSchema {
  club: { key: string; value: Kept<Club> };
  places: { key: string; value: Kept<Place> };
  people: { key: string; value: Kept<Person> };
  barrels: { key: string; value: Kept<Barrel> };
  reservations: { key: string; value: Kept<Reservation> };
  recipes: { key: string; value: Kept<Recipe> };
  notices: { key: string; value: Kept<Notice> };
  vessels: { key: string; value: Kept<Vessel> };
  bottles: { key: string; value: Kept<Bottle> };
  flights: { key: string; value: Kept<Flight> };
  log: { key: string; value: KeptLogEntry; indexes: { by_barrel: string; by_round: number; by_at: number } };
  meta: { key: string; value: unknown };
  answers: { key: string; value: KeptAnswer };
  outbox: { key: string; value: OutboxEntry; indexes: { by_order: number } };
  drafts: { key: string; value: Draft };
  photos: { key: string; value: KeptPhoto; indexes: { by_act: string } };
  photo_queue: { key: string; value: QueuedPhoto; indexes: { by_act: string } };
}

/** Read from the server, and rebuilt from it at any time. */
export const READ_STORES = [
  'club',
  'places',
  'people',
  'barrels',
  'reservations',
  'recipes',
  'notices',
  'vessels',
  'bottles',
  'flights',
  'log',
  'photos',
  'meta',
  'answers',
] as const;
/** Made here, and only ever removed by an answer or by its author. */
export const OWN_STORES = ['outbox', 'drafts', 'photo_queue'] as const;

export type StoreName = (typeof READ_STORES)[number] | (typeof OWN_STORES)[number];
