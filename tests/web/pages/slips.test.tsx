/** A figure that is far off is asked for once more at the barrel, and kept when it is said again. */
import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import { afterEach, describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import { queueAll } from '~/outbox/queue.ts';
import { TendSheet } from '~/pages/barrel/tend-sheet.tsx';
import CuringPage from '~/pages/curing/index.tsx';
import DecantPage from '~/pages/decant/index.tsx';
import HoldPage from '~/pages/hold/index.tsx';
import { MoreSheet } from '~/pages/taste/sheets.tsx';
import { database } from '~/store/db.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, NEAP } from '../cast.ts';

const HOUR_AGO = new Date(Date.now() - 3_600_000).toISOString();

async function press(name: string | RegExp): Promise<void> {
  const plank = (await screen.findAllByRole('button', { name })).at(-1)!;
  await settle();
  fireEvent.click(plank);
}
const type = (label: string, value: string): boolean =>
  fireEvent.input(screen.getByLabelText(label), { target: { value } });
const sent = async (): Promise<Record<string, unknown>[]> =>
  (await queueAll(database.value!)).map((entry) => entry.body);

afterEach(() => {
  cleanup();
  leave();
});

describe('a top-up of a fill', () => {
  const row: Barrel = barrel({
    now: {
      at: new Date().toISOString(),
      volume_l: { low: 4.4, mid: 4.5, high: 4.6 },
      abv_pct: null,
      level: { low: 0.8, mid: 0.8, high: 0.8 },
    },
  });
  const open = async (): Promise<void> => {
    await keeperWith(row);
    openScreen('/', '/', () => (
      <TendSheet
        barrel={{ ...row, care: [] }}
        kind="top_up"
        onClose={() => undefined}
        onSaid={() => undefined}
      />
    ));
    await screen.findByLabelText('Poured in');
  };

  test('that fits is kept at once', async () => {
    await open();
    type('Poured in', '0.5');
    await press('Save');
    await waitFor(async () => expect(await sent()).toHaveLength(1));
  });

  test('that the barrel has no room for is read again', async () => {
    await open();
    type('Poured in', '3');
    await press('Save');
    await screen.findByText(/There is room for about 0\.6.L in it/);
    expect(await sent()).toEqual([]);
    await press('Save all the same');
    await waitFor(async () => expect(await sent()).toMatchObject([{ volume_l: 3 }]));
  });
});

describe('a yield', () => {
  const open = async (): Promise<void> => {
    await keeperWith(
      barrel({
        now: {
          at: new Date().toISOString(),
          volume_l: { low: 4.4, mid: 4.5, high: 4.6 },
          abv_pct: null,
          level: { low: 0.8, mid: 0.8, high: 0.8 },
        },
      }),
    );
    openScreen('/barrels/:id/decant', `/barrels/${NEAP}/decant`, DecantPage);
    await screen.findByLabelText('What came out');
  };

  test('near what was expected ends the fill at once', async () => {
    await open();
    type('What came out', '4.2');
    await press('Decanted');
    await waitFor(async () => expect(await sent()).toMatchObject([{ measured_volume_l: 4.2 }]));
  });

  test('with its point in the wrong place is read again', async () => {
    await open();
    type('What came out', '0.45');
    await press('Decanted');
    await screen.findByText(/mend the figure if it was a slip/);
    expect(await sent()).toEqual([]);
    await press('It is so');
    await waitFor(async () => expect(await sent()).toMatchObject([{ measured_volume_l: 0.45 }]));
  });
});

describe('a hold on a barrel with a fill in it', () => {
  test('says so, and may be written all the same', async () => {
    await keeperWith();
    openScreen('/barrels/:id/hold', `/barrels/${NEAP}/hold`, HoldPage);
    await screen.findByText(/there is a fill in it: decant that first/);
    expect(screen.getByText('Decant it').closest('a')?.getAttribute('href')).toBe(`/barrels/${NEAP}/decant`);
    screen.getByRole('button', { name: 'Hold it wet' });
  });
});

describe('two weights that make another barrel than its name', () => {
  test('are read again; mended, the complaint is gone', async () => {
    const contents = {
      ...barrel().contents!,
      kind: 'curing' as const,
      started_at: HOUR_AGO,
      start_volume_l: 5,
    };
    await keeperWith(barrel({ state: 'curing', state_since: HOUR_AGO, contents }));
    openScreen('/barrels/:id/curing', `/barrels/${NEAP}/curing`, CuringPage);
    await press('Call it tight');
    type('Full of water', '9.5');
    await press('It is tight');
    await screen.findByText(/^Both weights/);
    type('Drained, the wood wet', '2.5');
    expect(screen.queryByText(/^Both weights/)).toBeNull();
    await press('It is tight');
    await screen.findByText(/^That makes 7\.0\d?.L, and the maker says 5.L/);
    expect(await sent()).toEqual([]);
    await press('It is tight');
    await waitFor(async () => expect(await sent()).toMatchObject([{ verdict: 'tight', full_mass_kg: 9.5 }]));
  });
});

describe('a sheet that takes over what was typed', () => {
  test('shows a figure that is none before it is left behind', async () => {
    let isClosed = false;
    const draft = { liking: 7, sample_ml: 10, note: '' } as Parameters<typeof MoreSheet>[0]['draft'];
    openScreen('/', '/', () => (
      <MoreSheet
        draft={draft}
        onChange={() => undefined}
        onClose={() => {
          isClosed = true;
        }}
        onProfile={() => undefined}
      />
    ));
    await screen.findByLabelText('Your sample');
    type('Your sample', '900');
    await press('Done');
    expect(isClosed).toBe(false);
    expect(document.activeElement).toBe(screen.getByLabelText('Your sample'));
    await press('Done');
    expect(isClosed).toBe(true);
  });
});
