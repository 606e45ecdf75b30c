import { screen } from '@testing-library/preact';
import { afterEach, expect, test } from 'vitest';
import type { Barrel, LogEntry } from '~/api/types.ts';
import BarrelPage from '~/pages/barrel/index.tsx';
import { stored } from '~/store/live.ts';
import { keptLogEntry } from '~/store/rows.ts';
import { keeperWith, leave, openScreen } from '../at-the-barrel.tsx';
import { barrel, logEntry, NEAP, pull } from '../cast.ts';

afterEach(leave);

async function openBarrel(row: Barrel, ...lines: LogEntry[]) {
  const db = await keeperWith(row);
  for (const line of lines) await db.put('log', keptLogEntry(line, 0));
  stored(db, ['log']);
  openScreen('/barrels/:id', `/barrels/${row.id}`, BarrelPage);
}

const filled = barrel();
const known = { ...filled, contents: { ...filled.contents!, pull: pull() } };
const pulled = (more: Partial<LogEntry> = {}) =>
  logEntry({
    id: '77777777-7777-7777-8777-777777777777',
    collection: 'pulls',
    barrel: NEAP,
    body: { barrel: NEAP, fill: filled.contents!.stay },
    ...more,
  });

test('the forecast gives advice until somebody decides', async () => {
  await openBarrel(known);

  expect(await screen.findByRole('heading', { name: /^Leave it\./ })).toBeTruthy();
});

test('once it is settled it gives none, and says what it foretells', async () => {
  await openBarrel(known, pulled());

  expect(await screen.findByRole('heading', { name: 'It is to be pulled.' })).toBeTruthy();
  expect(screen.queryByText(/Leave it\./)).toBeNull();
  expect(screen.getByText(/decant it when it suits\. Probably best/)).toBeTruthy();
});

test('a decision taken back settles nothing', async () => {
  await openBarrel(known, pulled({ is_void: true }));

  expect(await screen.findByRole('heading', { name: /^Leave it\./ })).toBeTruthy();
});

const held = barrel({
  state: 'held',
  contents: { ...filled.contents!, kind: 'hold', pull: null },
  water: { changed_at: '2026-02-20T12:00:00Z', half_volume_l: 2.5, half_level: 0.5, top_up_at: null },
});

test('a wet hold says how its water is changed', async () => {
  await openBarrel(held);

  expect(await screen.findByText(/the half mark/)).toBeTruthy();
});

test('of a barrel that is lent nothing is asked here', async () => {
  await openBarrel({
    ...held,
    loan: { borrower: 'the club across the water', since: '2026-02-25T12:00:00Z', back_by: null },
  });

  expect(await screen.findByText(/Lent to the club across the water/)).toBeTruthy();
  expect(screen.queryByText(/the half mark/)).toBeNull();
});
