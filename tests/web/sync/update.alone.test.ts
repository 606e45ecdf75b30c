import { afterEach, beforeEach, expect, test, vi } from 'vitest';

/** A worker of the library's: counts what it is asked, and takes over at the ask it is told to hear. */
class Worker {
  static heardAt = 1;
  static asks = 0;
  private readonly told = new Map<string, () => void>();
  addEventListener(what: string, tell: () => void): void {
    this.told.set(what, tell);
  }
  async register(): Promise<void> {
    this.told.get('waiting')?.();
  }
  async update(): Promise<void> {}
  messageSkipWaiting(): void {
    Worker.asks += 1;
    if (Worker.asks === Worker.heardAt) this.told.get('controlling')?.();
  }
}
vi.mock('workbox-window', () => ({ Workbox: Worker }));

const reload = vi.fn();

beforeEach(() => {
  vi.resetModules();
  vi.useFakeTimers();
  Worker.asks = 0;
  reload.mockReset();
  vi.stubEnv('DEV', false);
  vi.stubGlobal('location', { ...location, reload });
  Object.defineProperty(navigator, 'serviceWorker', {
    configurable: true,
    value: { ready: Promise.resolve({ active: null }) },
  });
});

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
  vi.unstubAllEnvs();
  Reflect.deleteProperty(navigator, 'serviceWorker');
});

async function started(heardAt: number) {
  Worker.heardAt = heardAt;
  const update = await import('~/sync/update.ts');
  await update.startUpdates();
  return update;
}

test('a newer version that waits is offered, and nothing changes over unasked', async () => {
  const { updateReady } = await started(1);
  expect(updateReady.value).toBe(true);
  vi.advanceTimersByTime(60_000);
  expect([Worker.asks, reload.mock.calls.length]).toEqual([0, 0]);
});

test('the page is loaded anew when the new worker has taken over', async () => {
  const { applyUpdate } = await started(1);
  applyUpdate();
  vi.advanceTimersByTime(60_000);
  expect([Worker.asks, reload.mock.calls.length]).toEqual([1, 1]);
});

test('a worker that cannot take over yet is let go by loading the page anew, once', async () => {
  const { applyUpdate } = await started(Number.POSITIVE_INFINITY);
  applyUpdate();
  expect([Worker.asks, reload.mock.calls.length]).toEqual([1, 0]);
  vi.advanceTimersByTime(60_000);
  expect([Worker.asks, reload.mock.calls.length]).toEqual([1, 1]);
});
