import Database from 'better-sqlite3';
import { type Dialect, type Kysely, type SqliteDatabase, SqliteDialect, sql } from 'kysely';
import type { Tables } from './tables';

/** All that only SQLite has. Another database gets a file like this one. */

/** `lasting` waits for the disk at each commit; what is thrown away soon need not. */
export function sqliteDialect(file: string, lasting = true): { dialect: Dialect; pragma(name: string): unknown } {
  const database = new Database(file);
  database.pragma('journal_mode = WAL');
  // Reopening a WAL database would otherwise fall back to NORMAL, which may lose the last commits on power loss.
  database.pragma(`synchronous = ${lasting ? 'FULL' : 'OFF'}`);
  database.pragma('foreign_keys = ON');
  database.pragma('busy_timeout = 5000');
  return {
    dialect: new SqliteDialect({ database: remembering(database) }),
    pragma: (name) => database.pragma(name, { simple: true }),
  };
}

const mostStatements = 500;

/** Prepares each text of SQL once: the same few dozen come again and again. */
function remembering(database: Database.Database): SqliteDatabase {
  const prepared = new Map<string, ReturnType<SqliteDatabase['prepare']>>();
  return {
    prepare(asked) {
      // Transactions here are for writing. One that only begins when it first writes doesn't wait for another writer,
      // such as a command beside the server: it fails at once, since it has read what may be old by then.
      const text = asked === 'begin' ? 'begin immediate' : asked;
      const known = prepared.get(text);
      if (known) return known;
      if (prepared.size >= mostStatements) prepared.clear();
      const statement = database.prepare(text) as ReturnType<SqliteDatabase['prepare']>;
      prepared.set(text, statement);
      return statement;
    },
    close: () => void database.close(),
  };
}

/** The ledger only grows: the database itself refuses everything else. */
export async function guardLedger(db: Kysely<Tables>): Promise<void> {
  await guardTable(db, 'ledger');
}

/** From here on the database refuses to change or delete a row of this table. */
export async function guardTable(
  db: Kysely<Tables>,
  table: 'ledger' | 'signature' | 'presentation_sound',
): Promise<void> {
  for (const verb of ['UPDATE', 'DELETE']) {
    await sql
      .raw(
        `CREATE TRIGGER ${table}_no_${verb.toLowerCase()} BEFORE ${verb} ON ${table}
         BEGIN SELECT RAISE(ABORT, 'the ${table} is append-only'); END`,
      )
      .execute(db);
  }
}

/**
 * An entry must follow the last one of its study: so none can be put in the place of another either, which SQLite would
 * do without asking the guards against changing and deleting.
 */
export async function guardOrder(db: Kysely<Tables>): Promise<void> {
  await sql
    .raw(
      `CREATE TRIGGER ledger_follows BEFORE INSERT ON ledger
       WHEN NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM ledger WHERE study_id = NEW.study_id)
         OR NEW.previous <> COALESCE(
           (SELECT hash FROM ledger WHERE study_id = NEW.study_id ORDER BY seq DESC LIMIT 1), '${'0'.repeat(64)}')
       BEGIN SELECT RAISE(ABORT, 'an entry of the ledger must follow the last one'); END`,
    )
    .execute(db);
  await sql
    .raw(
      `CREATE TRIGGER signature_once BEFORE INSERT ON signature
       WHEN EXISTS (SELECT 1 FROM signature WHERE study_id = NEW.study_id AND seq = NEW.seq)
       BEGIN SELECT RAISE(ABORT, 'the signature is append-only'); END`,
    )
    .execute(db);
}

export const strict = sql`STRICT`;
export const savepoint = (db: Kysely<Tables>, name: string) => sql.raw(`SAVEPOINT ${name}`).execute(db);
export const release = (db: Kysely<Tables>, name: string) => sql.raw(`RELEASE ${name}`).execute(db);
export const rollbackTo = (db: Kysely<Tables>, name: string) => sql.raw(`ROLLBACK TO ${name}`).execute(db);
