/** The promise of the outbox, tried by chance: each entry arrives exactly once, in order within its barrel. */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isUnsent } from '~/outbox/entry.ts';
import { queueAdd, queueAll } from '~/outbox/queue.ts';
import { createReplay } from '~/outbox/replay.ts';
import { type ClubDatabase, openDatabase } from '~/store/db.ts';
import { EBB, NEAP, NOON_MS, tasting } from '../cast.ts';
import { Disk, tabOn } from './memory.ts';
import { FakeServer, type Fate } from './server.ts';

const fate: fc.Arbitrary<Fate> = fc.oneof(
  { weight: 3, arbitrary: fc.constant<Fate>({ kind: 'through' }) },
  { weight: 2, arbitrary: fc.constant<Fate>({ kind: 'drop_answer' }) },
  fc.constant<Fate>({ kind: 'drop_request' }),
  fc.constant<Fate>({ kind: 'portal' }),
  fc.constantFrom(401, 408, 429, 500, 503).map((status): Fate => ({ kind: 'status', status })),
);

/** A killed tab: everything it still wanted to do does not happen. */
class Killed extends Error {}

/** Lets so many calls through and then dies, in the middle of whatever it was at. */
function mortality(lives: number): () => void {
  let left = lives;
  let isDead = false;
  return () => {
    if (isDead || left <= 0) {
      isDead = true;
      throw new Killed();
    }
    left -= 1;
  };
}

/** Where the entries lie: a phone whose tabs die, and which is opened anew. */
interface Phone {
  db: ClubDatabase;
  /** The same database as a tab sees it that dies when `step` says so. */
  dying(step: () => void): ClubDatabase;
  reopen(): Promise<void>;
}

/** The engine's own rules, as a browser has them; it dies between transactions. */
async function indexedPhone(name: string): Promise<Phone> {
  const phone: Phone = {
    db: await openDatabase(name),
    dying: (step) =>
      new Proxy(phone.db, {
        get(target, key) {
          const value = Reflect.get(target, key, target) as unknown;
          if (typeof value !== 'function') return value;
          return (...args: unknown[]) => {
            step();
            return Reflect.apply(value, target, args);
          };
        },
      }),
    async reopen() {
      phone.db.close();
      phone.db = await openDatabase(name);
    },
  };
  return phone;
}

/** Cheap enough for thousands; it dies within transactions as well. */
async function memoryPhone(): Promise<Phone> {
  const disk = new Disk();
  return { db: tabOn(disk), dying: (step) => tabOn(disk, step), reopen: async () => {} };
}

const action = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom(NEAP, EBB).map((barrel) => ({ kind: 'write' as const, barrel })) },
  {
    weight: 4,
    arbitrary: fc.record({ kind: fc.constant('run' as const), lives: fc.integer({ min: 0, max: 25 }) }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('both' as const), lives: fc.integer({ min: 3, max: 40 }) }),
  },
  { weight: 1, arbitrary: fc.constant({ kind: 'reload' as const }) },
  {
    weight: 2,
    arbitrary: fc.record({ kind: fc.constant('wait' as const), ms: fc.integer({ min: 0, max: 400_000 }) }),
  },
);

type Action =
  | { kind: 'write'; barrel: string }
  | { kind: 'run' | 'both'; lives: number }
  | { kind: 'reload' }
  | { kind: 'wait'; ms: number };

/** Lives one phone's story and asks that each entry arrived exactly once, in order within its barrel. */
async function arrivesOnce(phone: Phone, actions: readonly Action[], fates: readonly Fate[]): Promise<void> {
  const server = new FakeServer();
  server.fates = [...fates];
  let now_ms = NOON_MS;
  const written: { id: string; barrel: string }[] = [];

  const runFor = async (lives: number): Promise<void> => {
    const step = mortality(lives);
    const deliver: FakeServer['deliver'] = async (entry) => {
      step();
      const answered = await server.deliver(entry);
      // The request was out when the tab died: the server may have acted.
      step();
      return answered;
    };
    const replay = createReplay({ db: phone.dying(step), mayGo: () => true, deliver, now: () => now_ms });
    await replay.run().catch((error: unknown) => {
      if (!(error instanceof Killed)) throw error;
    });
  };

  for (const act of actions) {
    if (act.kind === 'write') {
      const entry = await queueAdd(phone.db, tasting(act.barrel, { note: `entry ${written.length}` }));
      written.push({ id: entry.id, barrel: act.barrel });
    } else if (act.kind === 'run') await runFor(act.lives);
    // Two tabs that both believe they lead: a browser without locks.
    else if (act.kind === 'both') await Promise.all([runFor(act.lives), runFor(1_000)]);
    else if (act.kind === 'wait') now_ms += act.ms;
    else await phone.reopen();
  }

  // Nothing was lost on the phone before it arrived.
  const kept = new Map((await queueAll(phone.db)).map((entry) => [entry.id, entry]));
  for (const { id } of written) expect(kept.has(id)).toBe(true);
  for (const entry of kept.values()) {
    if (!isUnsent(entry)) expect(server.rows.has(entry.id)).toBe(true);
  }

  // Signal comes back for good.
  server.fates = [];
  for (let i = 0; i < 3 && (await queueAll(phone.db)).some(isUnsent); i++) {
    now_ms += 3_700_000;
    await createReplay({
      db: phone.db,
      mayGo: () => true,
      deliver: server.deliver,
      now: () => now_ms,
    }).run();
  }
  const entries = await queueAll(phone.db);
  expect(entries.filter(isUnsent)).toEqual([]);
  expect([...server.rows.keys()].sort()).toEqual(written.map(({ id }) => id).sort());
  for (const barrel of [NEAP, EBB]) {
    const sent = written.filter((one) => one.barrel === barrel).map(({ id }) => id);
    expect([...server.rows.keys()].filter((id) => sent.includes(id))).toEqual(sent);
  }
  for (const { id } of written) expect((await phone.db.get('log', id))?.id).toBe(id);
  phone.db.close();
}

const actions: fc.Arbitrary<Action[]> = fc.array(action, { minLength: 3, maxLength: 14 });
const fates = fc.array(fate, { maxLength: 24 });

let databases = 0;

describe('an entry arrives exactly once', () => {
  test('whatever is dropped, killed or repeated between any two steps', async () => {
    const property = fc.asyncProperty(actions, fates, async (acts, ways) =>
      arrivesOnce(await memoryPhone(), acts, ways),
    );
    await fc.assert(property, { numRuns: 2_500 });
  }, 60_000);

  test('in the database of a browser as well', async () => {
    const property = fc.asyncProperty(actions, fates, async (acts, ways) => {
      databases += 1;
      await arrivesOnce(await indexedPhone(`arrives-once-${databases}`), acts, ways);
    });
    await fc.assert(property, { numRuns: 60 });
  }, 60_000);
});
