/** A keeper's phone with one barrel on it, for tests of whole screens. */

import { render } from '@testing-library/preact';
import type { ComponentType } from 'preact';
import { LocationProvider, Route, Router } from 'preact-iso';
import { vi } from 'vitest';
import { chooseClub, refreshSession } from '~/api/session.ts';
import type { Barrel } from '~/api/types.ts';
import { lifeFetched } from '~/outbox/overlay.ts';
import { type ClubDatabase, database } from '~/store/db.ts';
import { stored } from '~/store/live.ts';
import { barrel, CLUB, freshDatabase, SESSION } from './cast.ts';

/** Signs the keeper in and gives the phone one barrel; returns its database. */
export async function keeperWith(row: Barrel = barrel()): Promise<ClubDatabase> {
  const keeper = { ...SESSION, persons: [{ ...SESSION.persons[0]!, role: 'keeper' as const }] };
  vi.stubGlobal('fetch', async () => Response.json(keeper));
  await refreshSession();
  chooseClub(CLUB);
  await lifeFetched();
  const db = await freshDatabase();
  await db.put('barrels', { id: row.id, row } as never);
  database.value = db;
  stored(db, ['barrels']);
  return db;
}

/** Opens a screen at its address. */
export function openScreen(path: string, at: string, page: ComponentType) {
  history.replaceState(null, '', at);
  const route = <Route path={path} component={page} />;
  return render(
    <LocationProvider>
      <Router>{[route]}</Router>
    </LocationProvider>,
  );
}

/** Long enough that a press is no echo of the one before. */
export const settle = (): Promise<void> => new Promise((done) => setTimeout(done, 450));

export function leave(): void {
  database.value = null;
  vi.unstubAllGlobals();
}
