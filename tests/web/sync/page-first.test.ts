import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { pageAsks, pageServed } from '~/sync/page-first.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

async function isServed(after_ms: number): Promise<boolean> {
  let served = false;
  void pageServed().then(() => {
    served = true;
  });
  await vi.advanceTimersByTimeAsync(after_ms);
  return served;
}

test('a page that asks nothing holds nothing up', async () => {
  expect(await isServed(250)).toBe(true);
});

test('the reading waits for what the page asked', async () => {
  const served = pageAsks();
  const waiting = pageServed();
  const order: string[] = [];
  void waiting.then(() => order.push('reading'));
  await vi.advanceTimersByTimeAsync(1000);
  order.push('answer');
  served();
  served();
  await waiting;
  expect(order).toEqual(['answer', 'reading']);
});

test('a question without an answer does not hold it up for ever', async () => {
  const served = pageAsks();
  expect(await isServed(2900)).toBe(false);
  expect(await isServed(3100)).toBe(true);
  served();
});
