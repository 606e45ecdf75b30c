import { signal } from '@preact/signals';
import { render } from '@testing-library/preact';
import { beforeEach, expect, test, vi } from 'vitest';
import type { SyncStatus } from '~/sync/status.ts';

const status = signal<Partial<SyncStatus>>({});
vi.mock('~/sync/status.ts', async (original) => ({
  ...(await original<typeof import('~/sync/status.ts')>()),
  get syncStatus() {
    return status;
  },
}));
const { Missing } = await import('~/pages/parts/missing.tsx');
const { EmptyRoom } = await import('~/pages/parts/empty-room.tsx');

function words(): string {
  const { container } = render(
    <>
      <Missing what="This barrel is not in the club." />
      <EmptyRoom>
        <p>Nobody has asked.</p>
      </EmptyRoom>
    </>,
  );
  return container.textContent ?? '';
}

beforeEach(() => {
  document.body.innerHTML = '';
});

test('a phone that has read the club says what is not there', () => {
  status.value = { first_load: false, has_signal: true, problem: null };
  expect(words()).toContain('This barrel is not in the club.');
  expect(words()).toContain('Nobody has asked.');
});

test('one that is still reading claims nothing', () => {
  status.value = { first_load: true, has_signal: true, problem: null };
  expect(words()).not.toMatch(/not in the club|Nobody/);
});

test('one that never read, without signal, says that', () => {
  status.value = { first_load: true, has_signal: false, problem: null, no_signal_since_ms: 0 };
  expect(words()).toContain('This phone has not read the club yet. It needs signal once.');
  expect(words()).not.toMatch(/not in the club|Nobody/);
});
