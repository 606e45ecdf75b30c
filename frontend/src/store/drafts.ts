/** Half-filled forms, kept as they are typed: a call, a dead battery or a new version costs nobody a word. */

import { type Signal, signal } from '@preact/signals';
import { database } from './db.ts';
import { storeError, storeWorked } from './storage.ts';

/** Typing is written down at most this often. */
const PAUSE_MS = 250;

export interface DraftHandle<T> {
  value: Signal<T | null>;
  /** Whether the kept draft was looked for; a form waits for this before it shows its fields. */
  isReady: Signal<boolean>;
  save(value: T): void;
  /** Writes at once what `save` still holds back. */
  flush(): Promise<void>;
  clear(): Promise<void>;
}

/** The drafts in hand, by the store they are kept in: a form that is drawn anew takes up where it was. */
const inHand = new WeakMap<object, Map<string, DraftHandle<unknown>>>();

export function draft<T>(key: string): DraftHandle<T> {
  const db = database.peek();
  if (!db) return newDraft<T>(key);
  const drafts = inHand.get(db) ?? new Map<string, DraftHandle<unknown>>();
  inHand.set(db, drafts);
  const known = drafts.get(key) ?? newDraft<unknown>(key);
  drafts.set(key, known);
  return known as DraftHandle<T>;
}

function newDraft<T>(key: string): DraftHandle<T> {
  const value = signal<T | null>(null);
  const isReady = signal(false);
  let timer: ReturnType<typeof setTimeout> | null = null;
  let isTouched = false;

  const load = async (): Promise<void> => {
    const kept = await database.peek()?.get('drafts', key);
    if (kept && !isTouched) value.value = kept.value as T;
    isReady.value = true;
  };
  void load().catch(() => {
    isReady.value = true;
  });

  const write = async (): Promise<void> => {
    timer = null;
    const db = database.peek();
    const now = value.peek();
    if (!db || now === null) return;
    try {
      await db.put('drafts', { key, saved_at_ms: Date.now(), value: now });
      storeWorked();
    } catch (error) {
      // The form itself still holds the words; the proud line tells that the phone is full.
      storeError(error);
    }
  };

  return {
    value,
    isReady,
    save(next) {
      isTouched = true;
      value.value = next;
      timer ??= setTimeout(() => void write(), PAUSE_MS);
    },
    async flush() {
      if (timer === null) return;
      clearTimeout(timer);
      await write();
    },
    async clear() {
      isTouched = true;
      if (timer !== null) clearTimeout(timer);
      timer = null;
      value.value = null;
      await database.peek()?.delete('drafts', key);
    },
  };
}
