import { deleteDB, openDB } from 'idb';
import { afterEach, describe, expect, test } from 'vitest';
import { queueAll } from '~/outbox/queue.ts';
import { database, forgetRead, openDatabase } from '~/store/db.ts';
import { MIGRATIONS, type Migration } from '~/store/migrations.ts';
import { storageTrouble } from '~/store/storage.ts';
import { barrel, freshDatabase, NEAP, tasting } from '../cast.ts';
import { RELEASES } from './releases.ts';

afterEach(() => {
  storageTrouble.value = null;
  database.value = null;
});

/** The layout as the browser sees it: stores, their keys and their indexes. */
function layout(db: Awaited<ReturnType<typeof openDatabase>>): Record<string, unknown> {
  const names = [...db.objectStoreNames];
  const read = db.transaction(names);
  return Object.fromEntries(
    names.map((name) => {
      const store = read.objectStore(name);
      return [name, { key: store.keyPath, indexes: [...store.indexNames].sort() }];
    }),
  );
}

describe('a database of an earlier release', () => {
  test('there is a record of every release', () => {
    expect(RELEASES.map((release) => release.version)).toEqual(MIGRATIONS.map((_step, i) => i + 1));
  });

  test.each(RELEASES)(
    'release $version becomes today’s and keeps what was unsent',
    async ({ version, build }) => {
      const name = `release-${version}`;
      await deleteDB(name);
      const entry = { ...tasting(), order: 1 };
      const old = await openDB(name, version, {
        upgrade: (db, _from, _to, upgrade) => build(db, upgrade as never),
      });
      await old.put('outbox', entry);
      await old.put('drafts', { key: 'taste', saved_at_ms: 1, value: { liking: 4 } });
      old.close();

      const db = await openDatabase(name);
      expect(await queueAll(db)).toEqual([entry]);
      expect((await db.get('drafts', 'taste'))?.value).toEqual({ liking: 4 });
      expect(layout(db)).toEqual(layout(await freshDatabase()));
    },
  );

  test('a later step runs once, on the data of before', async () => {
    const name = 'with-a-later-step';
    const first = await openDatabase(name);
    await first.add('outbox', { ...tasting(), order: 1 });
    first.close();
    let runs = 0;
    const later: Migration = async (_db, upgrade) => {
      runs += 1;
      const store = upgrade.objectStore('outbox');
      for (const entry of await store.getAll()) await store.put({ ...entry, weather: 'wet' });
    };
    const steps = [...MIGRATIONS, later];
    (await openDatabase(name, steps)).close();
    const db = await openDatabase(name, steps);

    expect(runs).toBe(1);
    expect((await queueAll(db))[0]).toMatchObject({ weather: 'wet' });
  });

  test('a step that fails leaves the old database whole', async () => {
    const name = 'with-a-broken-step';
    const first = await openDatabase(name);
    await first.add('outbox', { ...tasting(), order: 1 });
    first.close();
    const broken: Migration = async (_db, upgrade) => {
      await upgrade.objectStore('outbox').clear();
      throw new Error('the step fails');
    };
    await expect(openDatabase(name, [...MIGRATIONS, broken])).rejects.toThrow();

    expect(await queueAll(await openDatabase(name))).toHaveLength(1);
  });
});

describe('an older and a newer app side by side', () => {
  test('the old tab closes its database and says so', async () => {
    const name = 'side-by-side';
    database.value = await openDatabase(name);
    const newer = await openDatabase(name, [...MIGRATIONS, () => undefined]);

    expect(newer.version).toBe(MIGRATIONS.length + 1);
    expect(database.value).toBeNull();
    expect(storageTrouble.value).toBe('newer_version_open');
  });

  test('an old app does not open a newer database', async () => {
    const name = 'opened-by-the-newer';
    (await openDatabase(name, [...MIGRATIONS, () => undefined])).close();

    await expect(openDatabase(name)).rejects.toThrow();
    expect(storageTrouble.value).toBe('newer_version_open');
  });

  test('a tab that signs out may remove the database under another', async () => {
    const name = 'signed-out';
    database.value = await openDatabase(name);
    await deleteDB(name);

    expect(database.value).toBeNull();
    expect(storageTrouble.value).toBeNull();
  });
});

test('forgetting what was read leaves the outbox and the drafts', async () => {
  const db = await freshDatabase();
  await db.put('barrels', { id: NEAP, round: 0, row: barrel() });
  await db.put('meta', 'cursor-9', 'cursor');
  await db.put('drafts', { key: 'taste', saved_at_ms: 1, value: 1 });
  await db.add('outbox', { ...tasting(), order: 1 });
  await forgetRead(db);

  expect(await db.count('barrels')).toBe(0);
  expect(await db.count('meta')).toBe(0);
  expect(await db.count('outbox')).toBe(1);
  expect(await db.count('drafts')).toBe(1);
});
