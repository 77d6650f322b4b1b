import { type Kysely, type Migration, Migrator } from 'kysely';
import * as fifth from './migrations/fifth';
import * as first from './migrations/first';
import * as fourth from './migrations/fourth';
import * as second from './migrations/second';
import * as third from './migrations/third';
import type { Tables } from './tables';

/** In the order in which they are applied; only ever appended to. */
const migrations: Record<string, Migration> = {
  '0001-first': { up: (db) => first.up(db as Kysely<Tables>) },
  '0002-second': { up: (db) => second.up(db as Kysely<Tables>) },
  '0003-third': { up: (db) => third.up(db as Kysely<Tables>) },
  '0004-fourth': { up: (db) => fourth.up(db as Kysely<Tables>) },
  '0005-fifth': { up: (db) => fifth.up(db as Kysely<Tables>) },
};

/** The steps that this version of the tool knows. */
export const knownMigrations: readonly string[] = Object.keys(migrations);

/** Brings a database to the newest tables. Refuses one that a newer version of the tool has written. */
export async function migrate(db: Kysely<Tables>): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => migrations } });
  const { error } = await migrator.migrateToLatest();
  if (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Error(
      `The data could not be brought up to date: ${reason}. Was it written by a newer version? Update Fair Hearing, or name another folder with --data.`,
    );
  }
}
