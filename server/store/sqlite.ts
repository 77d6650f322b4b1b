import Database from 'better-sqlite3';
import { type Dialect, type Kysely, SqliteDialect, sql } from 'kysely';
import type { Tables } from './tables';

/** All that only SQLite has. Another database gets a file like this one. */

export function sqliteDialect(file: string): { dialect: Dialect; pragma(name: string): unknown } {
  const database = new Database(file);
  database.pragma('journal_mode = WAL');
  // Reopening a WAL database would otherwise fall back to NORMAL, which may lose the last commits on power loss.
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
  database.pragma('busy_timeout = 5000');
  return {
    dialect: new SqliteDialect({ database }),
    pragma: (name) => database.pragma(name, { simple: true }),
  };
}

/** The ledger only grows: the database itself refuses everything else. */
export async function guardLedger(db: Kysely<Tables>): Promise<void> {
  for (const verb of ['UPDATE', 'DELETE']) {
    await sql
      .raw(
        `CREATE TRIGGER ledger_no_${verb.toLowerCase()} BEFORE ${verb} ON ledger
         BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END`,
      )
      .execute(db);
  }
}

export const strict = sql`STRICT`;
export const savepoint = (db: Kysely<Tables>, name: string) => sql.raw(`SAVEPOINT ${name}`).execute(db);
export const release = (db: Kysely<Tables>, name: string) => sql.raw(`RELEASE ${name}`).execute(db);
export const rollbackTo = (db: Kysely<Tables>, name: string) => sql.raw(`ROLLBACK TO ${name}`).execute(db);
