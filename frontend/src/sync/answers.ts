/** Server answers that are not in the feed. The last one of each is kept, so that it can be read with no signal. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import { api } from '../api/client.ts';
import { NO_SIGNAL, type Problem, problemFrom } from '../api/errors.ts';
import type { operations } from '../api/schema.d.ts';
import { session } from '../api/session.ts';
import type { Report, Suggestions, Tray } from '../api/types.ts';
import { database } from '../store/db.ts';
import { pageAsks } from './page-first.ts';

export interface Answer<T> {
  data: T | null;
  /** When the data came, by this phone's clock. */
  as_of_ms: number | null;
  loading: boolean;
  /** Why the last question brought nothing; `code` is no_signal when nobody answered. */
  problem: Problem | null;
}

export interface Question<T> {
  answer: ReadonlySignal<Answer<T>>;
  /** Asks anew; the data of before stays in sight meanwhile. */
  ask(): Promise<void>;
}

const UNKNOWN = { data: null, as_of_ms: null, loading: false, problem: null };

type Reply = { data?: unknown; error?: unknown; response: Response };

async function replyOf(asking: Promise<Reply>): Promise<{ data: unknown } | { problem: Problem }> {
  try {
    const { data, error, response } = await asking;
    return response.ok ? { data } : { problem: problemFrom(response.status, error) };
  } catch {
    return { problem: NO_SIGNAL };
  }
}

/** `key` names the question among the kept answers. */
function question<T>(key: string, askClub: (club: string) => Promise<Reply>): Question<T> {
  const answer = signal<Answer<T>>(UNKNOWN);
  let turn = 0;

  async function ask(): Promise<void> {
    turn += 1;
    const mine = turn;
    const [db, club] = [database.peek(), session.peek().club];
    if (!db || !club) return;
    const isMine = (): boolean => mine === turn && database.peek() === db;
    answer.value = { ...answer.peek(), loading: true, problem: null };
    const served = pageAsks();
    const kept = await db.get('answers', key).catch(() => undefined);
    if (kept && isMine() && answer.peek().data === null) {
      answer.value = { ...answer.peek(), data: kept.data as T, as_of_ms: kept.at_ms };
    }
    const found = await replyOf(askClub(club.id));
    served();
    if (!isMine()) return;
    if ('problem' in found) {
      answer.value = { ...answer.peek(), loading: false, problem: found.problem };
      return;
    }
    const at_ms = Date.now();
    answer.value = { data: found.data as T, as_of_ms: at_ms, loading: false, problem: null };
    // A full phone keeps no answer; the screen has it all the same.
    await db.put('answers', { key, at_ms, data: found.data }).catch(() => undefined);
  }

  return { answer, ask };
}

type SuggestionsQuery = NonNullable<operations['barrelSuggestions']['parameters']['query']>;

export function report(): Question<Report> {
  return question('report', (club) => api.GET('/api/v1/clubs/{club}/report', { params: { path: { club } } }));
}

export function tray(): Question<Tray> {
  return question('tray', (club) => api.GET('/api/v1/clubs/{club}/tray', { params: { path: { club } } }));
}

/** Barrels that suit a fill, best first, and why others do not. */
export function suggestions(query: SuggestionsQuery): Question<Suggestions> {
  return question(`suggestions ${JSON.stringify(query)}`, (club) =>
    api.GET('/api/v1/clubs/{club}/barrel-suggestions', { params: { path: { club }, query } }),
  );
}

/** The file of the report, narrowed as the table is. */
export function reportCsvUrl(narrowed: Record<string, string> = {}): string {
  const asked = new URLSearchParams(Object.entries(narrowed).filter(([, value]) => value !== ''));
  const query = asked.size > 0 ? `?${asked}` : '';
  return `/api/v1/clubs/${session.value.club?.id ?? ''}/report.csv${query}`;
}

/** Asks when the screen opens, and again when `key` changes; `refresh` asks anew. */
export function useAnswer<T>(
  make: () => Question<T>,
  key = '',
): { value: Answer<T>; refresh: () => Promise<void> } {
  // The key stands for what the question asks.
  const asked = useMemo(make, [key]);
  const db = database.value;
  // Asked again when a club's database has opened.
  useEffect(() => {
    void asked.ask();
  }, [asked, db]);
  return { value: asked.answer.value, refresh: asked.ask };
}
