/** The unsent entries as a file that a keeper can take in, for a phone that will see no signal or must be wiped. */

import { session } from '../api/session.ts';
import type { Member } from '../api/types.ts';
import { database } from '../store/db.ts';
import type { OutboxEntry } from '../store/records.ts';
import { queueUnsent } from './queue.ts';

export interface UnsentFile {
  kind: 'staveward-unsent';
  schema: 1;
  saved_at: string;
  club: Member['club'];
  author: { id: string; name: string };
  entries: Pick<
    OutboxEntry,
    'id' | 'method' | 'collection' | 'path' | 'body' | 'base_version' | 'state' | 'problem'
  >[];
}

export function unsentFile(person: Member, entries: readonly OutboxEntry[], now_ms: number): UnsentFile {
  return {
    kind: 'staveward-unsent',
    schema: 1,
    saved_at: new Date(now_ms).toISOString(),
    club: person.club,
    author: { id: person.id, name: person.name },
    entries: entries.map(({ id, method, collection, path, body, base_version, state, problem }) => ({
      id,
      method,
      collection,
      path,
      body,
      base_version,
      state,
      problem,
    })),
  };
}

/** Hands the file to the browser as a download; false when there was nothing to save. */
export async function saveUnsentFile(): Promise<boolean> {
  const db = database.peek();
  const { person } = session.peek();
  const entries = db ? await queueUnsent(db) : [];
  if (!person || entries.length === 0) return false;
  const file = unsentFile(person, entries, Date.now());
  const blob = new Blob([JSON.stringify(file, null, 2)], { type: 'application/json' });
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = `not-yet-sent-${file.saved_at.slice(0, 10)}.json`;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser reads the address after this turn.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return true;
}
