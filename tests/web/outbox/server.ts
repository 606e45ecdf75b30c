/** A server that keeps what the real one promises: a row an id for ever, another body under it refused. */

import type { Answered } from '~/outbox/conflict.ts';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { actAnswer } from '../cast.ts';

/** What happens to one request on its way. `drop_answer`: the server acted, and nobody heard. */
export type Fate =
  | { kind: 'through' }
  | { kind: 'drop_request' }
  | { kind: 'drop_answer' }
  | { kind: 'status'; status: number; body?: unknown; retry_after_ms?: number }
  | { kind: 'portal' };

export class FakeServer {
  /** Rows in the order of their first arrival. */
  readonly rows = new Map<string, string>();
  readonly requests: string[] = [];
  /** Bodies that a rule refuses. */
  refuses: (entry: OutboxEntry) => number | null = () => null;
  fates: Fate[] = [];

  deliver = async (entry: OutboxEntry): Promise<Answered | null> => {
    this.requests.push(entry.id);
    const fate = this.fates.shift() ?? { kind: 'through' };
    if (fate.kind === 'drop_request') return null;
    if (fate.kind === 'portal') return { status: 200, body: null, retry_after_ms: null };
    if (fate.kind === 'status') {
      return { status: fate.status, body: fate.body ?? null, retry_after_ms: fate.retry_after_ms ?? null };
    }
    const answer = this.receive(entry);
    return fate.kind === 'drop_answer' ? null : answer;
  };

  private receive(entry: OutboxEntry): Answered {
    const known = this.rows.get(entry.id);
    if (known !== undefined) {
      return known === entry.text
        ? { status: 200, body: actAnswer(entry), retry_after_ms: null }
        : this.refusal(409, 'id_reused');
    }
    const refused = this.refuses(entry);
    if (refused !== null) return this.refusal(refused, 'impossible_value');
    this.rows.set(entry.id, entry.text);
    return { status: 201, body: actAnswer(entry), retry_after_ms: null };
  }

  private refusal(status: number, code: string): Answered {
    const fields = [{ field: 'liking', value: 11, allowed: '0 to 10', detail: 'Too much.' }];
    return {
      status,
      body: { code, title: 'No', detail: 'Not possible.', status, fields },
      retry_after_ms: null,
    };
  }
}
