import { closeSync, existsSync, openSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { Kysely, SqliteDialect } from 'kysely';
import { syncFile } from './durable-file';
import { knownMigrations, migrate } from './migrate';
import { databaseName } from './open';
import { soundTable } from './sound-copy';
import { sqliteDialect } from './sqlite';
import type { Db, Tables } from './tables';

/** Copies of the database and the way back. Another database than SQLite gets a file like this one. */

/** As long as a writer may wait for another: a copy of the whole database may be made meanwhile. */
const patience = 30_000;
/** SQLite's own most: all pages in one step, so that nobody's write makes the copy begin again. */
const allPages = 2 ** 31 - 1;

/**
 * Copies a database by SQLite's online backup: consistent, also while a server writes to it. The copy is one plain file
 * that only this account can read, and on disk when this resolves. @throws Error when `to` exists.
 */
export async function copyDatabase(from: string, to: string): Promise<void> {
  closeSync(openSync(to, 'wx', 0o600));
  try {
    const source = new Database(from, { readonly: true, fileMustExist: true, timeout: patience });
    try {
      await source.backup(to, { progress: () => allPages });
    } finally {
      source.close();
    }
    inOneFile(to);
    syncFile(to);
  } catch (error) {
    removeDatabase(to);
    throw error;
  }
}

/** Without a write-ahead log beside it, so that the file by itself is all there is. */
function inOneFile(file: string): void {
  const copy = new Database(file);
  try {
    copy.pragma('journal_mode = DELETE');
  } finally {
    copy.close();
  }
}

/** Removes a database and what SQLite keeps beside it. */
export function removeDatabase(file: string): void {
  for (const end of databaseEnds) rmSync(`${file}${end}`, { force: true });
}

/** What a database may be made of: itself and what SQLite keeps beside it. */
export const databaseEnds = ['', '-wal', '-shm', '-journal'] as const;

export interface Stamp {
  madeAt: string;
  /** Version of the tool that made it. */
  tool: string;
}

/** Writes into a copy when it was made. The table is in copies only. */
export function stampCopy(file: string, { madeAt, tool }: Stamp): void {
  const copy = new Database(file);
  try {
    copy.exec('DROP TABLE IF EXISTS backup; CREATE TABLE backup (made_at TEXT NOT NULL, tool TEXT NOT NULL) STRICT');
    copy.prepare('INSERT INTO backup VALUES (?, ?)').run(madeAt, tool);
  } finally {
    copy.close();
  }
  syncFile(file);
}

/** What a file turned out to be. */
export type Inspected =
  | { kind: 'ours'; stamp: Stamp | null }
  | { kind: 'no-database' }
  | { kind: 'damaged'; what: string }
  | { kind: 'another'; what: string }
  | { kind: 'newer'; what: string };

/** Whether a file is a whole database of ours. Changes nothing in it. @throws Error when it can't be opened at all. */
export function inspectDatabase(file: string): Inspected {
  const database = new Database(file, { readonly: true, fileMustExist: true, timeout: patience });
  try {
    const damage = (database.pragma('integrity_check(1)') as { integrity_check: string }[])[0]?.integrity_check;
    if (damage !== 'ok') return { kind: 'damaged', what: damage ?? 'nothing can be read' };
    const tables = tablesOf(database, 'main');
    const missing = ['kysely_migration', 'study', 'ledger'].find((name) => !tables.includes(name));
    if (missing !== undefined) return { kind: 'another', what: `it has no table ${missing}` };
    const steps = database.prepare('SELECT name FROM kysely_migration').pluck().all() as string[];
    const unknown = steps.find((name) => !knownMigrations.includes(name));
    if (unknown !== undefined) return { kind: 'newer', what: unknown };
    const stamp = tables.includes('backup')
      ? (database.prepare('SELECT made_at AS madeAt, tool FROM backup').get() as Stamp | undefined)
      : undefined;
    return { kind: 'ours', stamp: stamp ?? null };
  } catch (error) {
    const { code = '', message } = error as NodeJS.ErrnoException;
    if (code === 'SQLITE_NOTADB') return { kind: 'no-database' };
    if (code.startsWith('SQLITE_CORRUPT')) return { kind: 'damaged', what: message };
    throw error;
  } finally {
    database.close();
  }
}

/** Brings the tables of a copy up to date. */
export async function migrateCopy(file: string): Promise<void> {
  const db = new Kysely<Tables>({ dialect: sqliteDialect(file, false).dialect });
  try {
    await migrate(db);
  } finally {
    await db.destroy();
  }
  inOneFile(file);
}

/** Reads a database file by itself. */
export async function readingDatabase<T>(file: string, read: (db: Db) => Promise<T>): Promise<T> {
  const database = new Database(file, { readonly: true, fileMustExist: true, timeout: patience });
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  try {
    return await read(db);
  } finally {
    await db.destroy();
  }
}

/**
 * Puts the contents of a copy in the place of those of a data folder, in one transaction: whoever reads meanwhile, a
 * running server too, sees the old or the new, and whoever writes waits. What stood there is kept in a file before,
 * under the same lock, so that not even what was written in the last moment is in neither.
 *
 * By rows and not by SQLite's backup into the live file: that takes a lock of its own, so that between keeping and
 * replacing a server could write what is then in neither file.
 * @param work gets the database and what swaps its contents; all that it writes is part of the transaction
 */
export async function replaceContents<T>(
  folder: string,
  copy: string,
  keep: { file: string; stamp: Stamp },
  work: (db: Db, swap: () => void) => Promise<T>,
): Promise<T> {
  const live = join(folder, databaseName);
  const database = new Database(live, { fileMustExist: true, timeout: patience });
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  let kept = false;
  try {
    database.pragma('synchronous = FULL');
    // Tables are emptied and filled one after the other; all keys are looked at in the end.
    database.pragma('foreign_keys = OFF');
    database.prepare('ATTACH ? AS copy').run(copy);
    database.exec('BEGIN IMMEDIATE');
    await copyDatabase(live, keep.file);
    kept = true;
    stampCopy(keep.file, keep.stamp);
    const done = await work(db, () => swapRows(database));
    const astray = database.pragma('foreign_key_check') as unknown[];
    if (astray.length > 0) throw new Error(`${astray.length} rows of the copy point to rows that it doesn't have.`);
    database.exec('COMMIT');
    return done;
  } catch (error) {
    if (database.inTransaction) database.exec('ROLLBACK');
    if (kept) removeDatabase(keep.file);
    throw error;
  } finally {
    await db.destroy();
  }
}

/** When it was made, and the sound files. */
const onlyInCopies = ['backup', soundTable];

/** What a page that is open compares with what it is sent. */
const versioned = ['study', 'sitting'] as const;

function swapRows(database: Database.Database): void {
  // A backup that was put back by hand has them still.
  for (const name of onlyInCopies) database.exec(`DROP TABLE IF EXISTS main.${name}`);
  const tables = tablesOf(database, 'main');
  const there = tablesOf(database, 'copy').filter((name) => !onlyInCopies.includes(name));
  if (tables.join() !== there.join()) throw new Error(`The copy has the tables ${there}, and not ${tables}.`);
  // Ledger and signatures refuse to lose a row; inside this transaction alone they don't.
  const guards = database.prepare("SELECT name, sql FROM main.sqlite_master WHERE type = 'trigger'").all() as {
    name: string;
    sql: string;
  }[];
  for (const { name } of guards) database.exec(`DROP TRIGGER main."${name}"`);
  const versions = versioned.map((table) => database.prepare(`SELECT id, version FROM main."${table}"`).all());
  for (const table of tables) {
    // By name: a table that was changed step by step may have its columns in another order than one made at once.
    const columns = columnsOf(database, 'main', table);
    if (columns.toSorted().join() !== columnsOf(database, 'copy', table).toSorted().join()) {
      throw new Error(`The table ${table} of the copy has other columns.`);
    }
    const list = columns.map((column) => `"${column}"`).join(', ');
    database.exec(`DELETE FROM main."${table}"`);
    database.exec(`INSERT INTO main."${table}" (${list}) SELECT ${list} FROM copy."${table}" ORDER BY rowid`);
  }
  for (const { sql } of guards) database.exec(sql);
  // A phone takes no place that is older than the one it shows.
  versioned.forEach((table, i) => {
    const raise = database.prepare(`UPDATE main."${table}" SET version = max(version, @version) + 1 WHERE id = @id`);
    for (const row of versions[i] ?? []) raise.run(row);
  });
}

const tablesOf = (database: Database.Database, schema: 'main' | 'copy'): string[] =>
  database
    .prepare(
      `SELECT name FROM ${schema}.sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY name`,
    )
    .pluck()
    .all() as string[];

const columnsOf = (database: Database.Database, schema: 'main' | 'copy', table: string): string[] =>
  database.prepare('SELECT name FROM pragma_table_info(?, ?) ORDER BY cid').pluck().all(table, schema) as string[];

/** Whether a data folder has a database. */
export const hasDatabase = (folder: string): boolean => existsSync(join(folder, databaseName));
