import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { type Calls, startTurns, type Turns } from '~/sync/turns.ts';

let turns: Turns | null = null;
let calls: Calls[] = [];
let isHidden = false;
let names = 0;

beforeEach(() => {
  vi.useFakeTimers();
  calls = [];
  isHidden = false;
});

afterEach(() => {
  turns?.stop();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

function start(wait_ms = 60_000, work?: (calls: Calls) => Promise<number>): Turns {
  names += 1;
  turns = startTurns({
    name: `turns-${names}`,
    isHidden: () => isHidden,
    work: async (now) => {
      calls.push(now);
      return work ? work(now) : wait_ms;
    },
  });
  return turns;
}

describe('the turns of a leading tab', () => {
  test('it works at once, reads the club, and then when the time has come', async () => {
    start(10_000);
    await vi.advanceTimersByTimeAsync(0);
    expect(calls).toEqual([{ hurry: 'signal', is_pull_due: true }]);
    await vi.advanceTimersByTimeAsync(9_999);
    expect(calls).toHaveLength(1);
    await vi.advanceTimersByTimeAsync(1);
    expect(calls[1]).toEqual({ hurry: null, is_pull_due: false });
  });

  test('it wakes for news without reading the club, and in a hurry when somebody asks', async () => {
    const { wake } = start();
    await vi.advanceTimersByTimeAsync(0);
    wake('news');
    await vi.advanceTimersByTimeAsync(0);
    expect(calls.at(-1)).toEqual({ hurry: null, is_pull_due: false });
    wake('person');
    wake('signal');
    await vi.advanceTimersByTimeAsync(0);
    expect(calls.at(-1)).toEqual({ hurry: 'person', is_pull_due: true });
    expect(calls).toHaveLength(3);
  });

  test('it hears what is called while it works', async () => {
    let release = (): void => {};
    const { wake } = start(60_000, (now) =>
      now.is_pull_due && calls.length === 1
        ? new Promise((resolve) => {
            release = () => resolve(60_000);
          })
        : Promise.resolve(60_000),
    );
    await vi.advanceTimersByTimeAsync(0);
    wake('news');
    release();
    await vi.advanceTimersByTimeAsync(0);
    expect(calls).toHaveLength(2);
  });

  test('it goes on after a turn that failed', async () => {
    start(60_000, async () => {
      if (calls.length === 1) throw new Error('full');
      return 60_000;
    });
    await vi.advanceTimersByTimeAsync(5_000);
    expect(calls).toHaveLength(2);
  });

  test('it tells who waits when a turn has ended', async () => {
    const { turn, wake } = start();
    await vi.advanceTimersByTimeAsync(0);
    let hasEnded = false;
    void turn().then(() => {
      hasEnded = true;
    });
    await vi.advanceTimersByTimeAsync(1_000);
    expect(hasEnded).toBe(false);
    wake('person');
    await vi.advanceTimersByTimeAsync(0);
    expect(hasEnded).toBe(true);
  });

  test('it stops when it is told', async () => {
    start(1_000).stop();
    await vi.advanceTimersByTimeAsync(60_000);
    expect(calls.length).toBeLessThanOrEqual(1);
  });
});

describe('one tab at a time', () => {
  /** Locks as a browser grants them: one holder a name, the others in line. */
  function stubLocks(): { held: Map<string, Promise<unknown>> } {
    const held = new Map<string, Promise<unknown>>();
    const request = async (
      name: string,
      _options: LockOptions,
      task: () => Promise<unknown>,
    ): Promise<unknown> => {
      while (held.has(name)) await held.get(name)?.catch(() => undefined);
      const work = task();
      held.set(name, work);
      return work.finally(() => held.delete(name));
    };
    vi.stubGlobal('navigator', { locks: { request } });
    return { held };
  }

  test('a second tab waits, and takes over when the first stops', async () => {
    stubLocks();
    const [one, two]: [Calls[], Calls[]] = [[], []];
    const tab = (seen: Calls[]): Turns =>
      startTurns({
        name: 'shared',
        isHidden: () => false,
        work: async (now) => {
          seen.push(now);
          return 60_000;
        },
      });
    const first = tab(one);
    const second = tab(two);
    await vi.advanceTimersByTimeAsync(0);
    expect([one.length, two.length]).toEqual([1, 0]);
    first.stop();
    await vi.advanceTimersByTimeAsync(0);
    expect(two).toHaveLength(1);
    second.stop();
  });

  test('a hidden tab with nothing to do hands the lead on', async () => {
    const { held } = stubLocks();
    isHidden = true;
    start(600_000);
    await vi.advanceTimersByTimeAsync(0);
    expect(held.size).toBe(1);
    await vi.advanceTimersByTimeAsync(5_000);
    expect(held.size).toBe(0);
    turns?.wake('signal');
    await vi.advanceTimersByTimeAsync(0);
    expect(calls).toHaveLength(2);
  });
});
