import { join } from 'node:path';
import { Kysely, Migrator } from 'kysely';
import { expect, test } from 'vitest';
import * as first from '../../server/store/migrations/first';
import { openStore } from '../../server/store/open';
import { sqliteDialect } from '../../server/store/sqlite';
import type { Tables } from '../../server/store/tables';
import { freshFolder } from './fresh-store';

/** Data as the first version of the tables kept them. */
async function firstVersion(folder: string): Promise<void> {
  const { dialect } = sqliteDialect(join(folder, 'fair-hearing.sqlite'));
  const db = new Kysely<Tables>({ dialect });
  const provider = {
    getMigrations: async () => ({ '0001-first': { up: first.up as (db: Kysely<unknown>) => Promise<void> } }),
  };
  await new Migrator({ db, provider }).migrateToLatest();
  const at = '2026-03-02T09:00:00.000Z';
  const insert = (table: string, row: Record<string, unknown>) =>
    (db as unknown as Kysely<Record<string, Record<string, unknown>>>).insertInto(table).values(row).execute();
  await insert('staff', { id: 'S', name: 'Ada', name_key: 'ada', password: 'x', created_at: at });
  await insert('study', {
    id: 'ST',
    title: 'T',
    state: 'running',
    plan: '{}',
    created_by: 'S',
    created_at: at,
    plan_version: 1,
    version: 1,
  });
  await insert('listener', { id: 'L', alias: 'Mo', alias_key: 'mo', created_at: at });
  await insert('session', { id: 'SE', study_id: 'ST', join_code: 'BCDFG', state: 'open', opened_at: at, number: 1 });
  for (const [id, hearing, health] of [
    ['A', 'usual', 'well'],
    ['B', 'dull', 'cold'],
    ['C', 'ringing', 'tired'],
    ['D', 'unsaid', 'unsaid'],
  ]) {
    await insert('listener', { id: `L${id}`, alias: `M${id}`, alias_key: `m${id}`, created_at: at });
    await insert('sitting', {
      id,
      study_id: 'ST',
      session_id: 'SE',
      listener_id: `L${id}`,
      state: 'ready',
      arrived_at: at,
      number: 1,
      version: 1,
    });
    await insert('check_in', { sitting_id: id, hearing, health, at });
  }
  await db.destroy();
}

test('what listeners said of themselves comes along in the new words; nothing else is lost', async () => {
  const folder = freshFolder();
  await firstVersion(folder);
  const store = await openStore(folder);
  const states = await store.db.selectFrom('state').selectAll().orderBy('sitting_id').execute();
  const listeners = await store.db.selectFrom('listener').select(['alias', 'device']).orderBy('alias').execute();
  await store.close();
  expect(states.map((row) => [row.sitting_id, JSON.parse(row.conditions)])).toEqual([
    ['A', []],
    ['B', ['congestion', 'illness']],
    ['C', ['ringing', 'tiredness']],
    ['D', []],
  ]);
  expect(listeners).toHaveLength(5);
  expect(listeners.every(({ device }) => device === null)).toBe(true);
  const again = await openStore(folder);
  expect(await again.db.selectFrom('state').selectAll().execute()).toHaveLength(4);
  await again.close();
});
