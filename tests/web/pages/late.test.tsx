import { render } from 'preact';
import { LocationProvider, Route, Router } from 'preact-iso';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { late } from '~/pages/parts/late.ts';
import { pageServed } from '~/sync/page-first.ts';

const Cellar = () => <p>The cellar</p>;

let place: HTMLElement;
beforeEach(() => {
  place = document.createElement('div');
  document.body.append(place);
});
afterEach(() => {
  render(null, place);
  place.remove();
});

function open(page: ReturnType<typeof late>): void {
  render(
    <LocationProvider>
      <Router>{[<Route key="here" path={location.pathname} component={page} />]}</Router>
    </LocationProvider>,
    place,
  );
}

describe('a screen that is fetched when it is first opened', () => {
  test('comes after a while', async () => {
    open(late(async () => ({ default: Cellar })));

    expect(place.textContent).toBe('');
    await vi.waitFor(() => expect(place.textContent).toBe('The cellar'));
  });

  test('stands in the same step when it was fetched ahead', async () => {
    const fetch = vi.fn(async () => ({ default: Cellar }));
    const page = late(fetch);
    await page.fetchAhead();

    open(page);

    expect(place.textContent).toBe('The cellar');
  });

  test('is fetched again when fetching it ahead failed', async () => {
    const fetch = vi.fn(async () => ({ default: Cellar })).mockRejectedValueOnce(new Error('no signal'));
    const page = late(fetch);
    await expect(page.fetchAhead()).rejects.toThrow('no signal');

    open(page);

    await vi.waitFor(() => expect(place.textContent).toBe('The cellar'));
  });

  test('says so when it cannot be fetched', async () => {
    open(late(() => Promise.reject(new Error('no signal'))));

    await vi.waitFor(() => expect(place.querySelector('h1')).not.toBeNull());
  });

  test('holds the phone’s own reading back only when somebody opens it', async () => {
    const ahead = late(async () => ({ default: Cellar }));
    const opened = late(async () => ({ default: Cellar }));
    let served = false;
    await ahead.fetchAhead();
    await pageServed();

    open(opened);
    void pageServed().then(() => {
      served = true;
    });
    await vi.waitFor(() => expect(place.textContent).toBe('The cellar'));

    expect(served).toBe(false);
    await vi.waitFor(() => expect(served).toBe(true));
  });
});
