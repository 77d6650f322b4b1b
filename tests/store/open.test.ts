import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, test } from 'vitest';
import { openStore } from '../../server/store/open';
import type { StudyId } from '../../shared/brands';
import { aStudy, freshFolder, freshStore } from './fresh-store';

const fileOf = (folder: string) => join(folder, 'fair-hearing.sqlite');

test('opens, makes what is missing, and keeps it to this account', async () => {
  const folder = join(freshFolder(), 'deep', 'data');
  await freshStore(folder);
  expect(existsSync(fileOf(folder))).toBe(true);
  expect(statSync(folder).mode & 0o777).toBe(0o700);
});

test('WAL, a commit on disk before it counts, foreign keys: on first opening and on every one after', async () => {
  const folder = freshFolder();
  for (const opening of ['first', 'second', 'third']) {
    const store = await openStore(folder);
    expect(store.pragma('journal_mode'), opening).toBe('wal');
    // 2 is FULL (SQLite documentation, PRAGMA synchronous).
    expect(store.pragma('synchronous'), opening).toBe(2);
    expect(store.pragma('foreign_keys'), opening).toBe(1);
    await store.close();
  }
});

test('what was written is there after reopening', async () => {
  const folder = freshFolder();
  const store = await openStore(folder);
  await aStudy(store);
  await store.close();
  const again = await freshStore(folder);
  expect((await again.db.selectFrom('study').select('title').execute()).map(({ title }) => title)).toEqual([
    'Vent study',
  ]);
});

test('closing waits for what is still to be written', async () => {
  const folder = freshFolder();
  const store = await openStore(folder);
  const written = aStudy(store);
  await store.close();
  await written;
  const again = await freshStore(folder);
  expect(await again.db.selectFrom('study').select('id').execute()).toHaveLength(1);
});

test('every table is strict: a word is no number', async () => {
  const folder = freshFolder();
  const store = await freshStore(folder);
  const database = new Database(fileOf(folder));
  const loose = database
    .prepare("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0")
    .all()
    .map((row) => (row as { name: string }).name)
    .filter((name) => !name.startsWith('sqlite_') && !name.startsWith('kysely_'));
  database.close();
  expect(loose).toEqual([]);
  const study = await aStudy(store);
  const wrong = { plan_version: 'two' as unknown as number };
  await expect(
    store.write((tx) => tx.updateTable('study').set(wrong).where('id', '=', study).execute()),
  ).rejects.toThrow(/cannot store TEXT value in INTEGER column/);
});

test('a row that points to nothing is refused', async () => {
  const store = await freshStore();
  const row = { study_id: 'NONE' as StudyId, sealed_key: 'x', sealed_seed: 'x' };
  await expect(store.write((tx) => tx.insertInto('study_secret').values(row).execute())).rejects.toThrow(/FOREIGN KEY/);
});

test('data of a newer version are refused in clear words and left as they were', async () => {
  const folder = freshFolder();
  await (await openStore(folder)).close();
  const database = new Database(fileOf(folder));
  const stepsIn = (from: Database.Database) =>
    from.prepare('SELECT name FROM kysely_migration ORDER BY name').pluck().all() as string[];
  const before = stepsIn(database);
  expect(before).toContain('0001-first');
  database.prepare("INSERT INTO kysely_migration (name, timestamp) VALUES ('9999-later', '2030-01-01')").run();
  database.close();
  await expect(openStore(folder)).rejects.toThrow(
    /could not be brought up to date: .*9999-later.*newer version.*--data/s,
  );
  const after = new Database(fileOf(folder));
  expect(stepsIn(after)).toEqual([...before, '9999-later']);
  // Whoever was refused has let go of the file: nothing of the log beside it is left behind.
  after.close();
  expect(existsSync(`${fileOf(folder)}-wal`)).toBe(false);
});

test('a file that is no database is refused', async () => {
  const folder = freshFolder();
  const { writeFileSync } = await import('node:fs');
  writeFileSync(fileOf(folder), 'not a database, but long enough to be looked at as one. '.repeat(20));
  await expect(openStore(folder)).rejects.toThrow(/not a database/);
});

test('data that are there already are opened to last, or not at all', async () => {
  const folder = freshFolder();
  const passing = await openStore(folder, { lasting: false });
  expect(passing.pragma('synchronous')).toBe(0);
  await passing.close();
  await expect(openStore(folder, { lasting: false })).rejects.toThrow('they are opened to last');
  const again = await openStore(folder);
  expect(again.pragma('synchronous')).toBe(2);
  await again.close();
});
