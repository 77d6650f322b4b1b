import type { Kysely } from 'kysely';
import type { Tables } from '../tables';

/** Links that were ended stay known, so that none can come to life again. */
export async function up(db: Kysely<Tables>): Promise<void> {
  await db.schema.alterTable('listener_token').addColumn('ended_at', 'text').execute();
}
