import type { Kysely } from 'kysely';
import { strict } from '../sqlite';
import type { Tables } from '../tables';

/** Sittings over weeks: how a listener is by conditions, and the one device that a listener goes on with. */
export async function up(db: Kysely<Tables>): Promise<void> {
  await db.schema
    .createTable('state')
    .addColumn('sitting_id', 'text', (c) => c.notNull().primaryKey().references('sitting.id'))
    .addColumn('conditions', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .modifyEnd(strict)
    .execute();
  const old = db as unknown as Kysely<{
    check_in: { sitting_id: string; hearing: string; health: string; at: string };
  }>;
  for (const row of await old.selectFrom('check_in').selectAll().execute()) {
    const conditions = [...(before[row.hearing] ?? []), ...(before[row.health] ?? [])];
    await db
      .insertInto('state')
      .values({
        sitting_id: row.sitting_id as Tables['state']['sitting_id'],
        conditions: JSON.stringify([...new Set(conditions)]),
        at: row.at,
      })
      .execute();
  }
  await db.schema.dropTable('check_in').execute();
  await db.schema.alterTable('listener').addColumn('device', 'text').execute();
}

/** What the two questions of the first version said, in conditions. */
const before: Record<string, string[]> = {
  dull: ['congestion'],
  loud: ['loud-sound'],
  ringing: ['ringing'],
  tired: ['tiredness'],
  cold: ['congestion', 'illness'],
  unwell: ['illness'],
};
