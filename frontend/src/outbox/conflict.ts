/** What an answer means for the entry that was sent. Pure. */

import { type Problem, problemFrom } from '../api/errors.ts';
import type { EntryTrouble, OutboxEntry } from './entry.ts';

/** What came back, or null when nothing did. */
export interface Answered {
  status: number;
  body: unknown;
  retry_after_ms: number | null;
}

export type Outcome =
  | { kind: 'done'; answer: Record<string, unknown> }
  /** `is_all`: the others would fare no better now. */
  | { kind: 'wait'; trouble: EntryTrouble; is_all: boolean; after_ms: number | null; problem: Problem | null }
  | { kind: 'pause' }
  | { kind: 'refused'; problem: Problem }
  | { kind: 'version_changed'; problem: Problem };

const BUSY = new Set([408, 425, 429]);

function asRecord(value: unknown): Record<string, unknown> | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : null;
}

/** Whether an answer is about this very row. A page of the café's network says 200 too. */
export function namesRow(entry: OutboxEntry, answer: Record<string, unknown>): boolean {
  const inner = [answer, asRecord(answer.row), asRecord(answer.reservation)];
  // A decision is answered with the reservation that it decided.
  const decided = entry.collection === 'reservation-decisions' ? entry.body.reservation : entry.target;
  return inner.some((row) => row !== null && (row.id === entry.target || row.id === decided));
}

function wait(trouble: EntryTrouble, is_all: boolean, answered: Answered | null): Outcome {
  const problem = answered && asRecord(answered.body) ? problemFrom(answered.status, answered.body) : null;
  return { kind: 'wait', trouble, is_all, after_ms: answered?.retry_after_ms ?? null, problem };
}

export function judge(entry: OutboxEntry, answered: Answered | null): Outcome {
  if (answered === null) return wait('no_signal', true, null);
  const { status } = answered;
  const body = asRecord(answered.body);
  if (status === 200 || status === 201) {
    return body && namesRow(entry, body)
      ? { kind: 'done', answer: body }
      : wait('no_signal', true, { ...answered, body: null });
  }
  if (status === 401) return { kind: 'pause' };
  if (BUSY.has(status)) return wait('busy', status === 429, answered);
  // Anything that is neither a yes nor a plain no of our own server may be otherwise later.
  if (status < 400 || status >= 500) return wait('server', status === 503, answered);
  const problem = problemFrom(status, body);
  // `send` has already fetched a new token and tried again: it is not the entry's fault.
  if (status === 403 && problem.code === 'csrf_failed') return wait('server', true, answered);
  const isEdit = entry.base_version !== null;
  if (isEdit && (status === 412 || problem.code === 'version_changed')) {
    return { kind: 'version_changed', problem };
  }
  return { kind: 'refused', problem };
}

function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  const left = Object.entries(a);
  return (
    left.length === Object.keys(b).length &&
    left.every(([key, value]) => isSame(value, (b as Record<string, unknown>)[key]))
  );
}

/** Whether the row on the server already says what the edit wanted: then an earlier try got through unheard. */
export function isAlreadySo(entry: OutboxEntry, theirs: Record<string, unknown>): boolean {
  // What only a barrel's register says stands in a part of its own.
  const told = { ...theirs, ...asRecord(theirs.register) };
  return Object.entries(entry.body).every(([field, wanted]) => isSame(wanted, told[field]));
}
