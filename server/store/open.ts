import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Kysely } from 'kysely';
import { migrate } from './migrate';
import { sqliteDialect } from './sqlite';
import type { Db, Tables } from './tables';
import { WriteQueue } from './write-queue';

/** The file of a data folder in which everything is but keys. */
export const databaseName = 'fair-hearing.sqlite';

export interface Store {
  /** For reading. */
  db: Db;
  /** For writing: resolves only after the commit is on disk. */
  write<T>(work: (tx: Db) => Promise<T>): Promise<T>;
  folder: string;
  /** What the database says of its own settings. */
  pragma(name: string): unknown;
  close(): Promise<void>;
}

export interface StoreOptions {
  /** False only for data that nobody would miss: then no commit waits for the disk. */
  lasting?: boolean;
}

/** Opens the store of a data folder, makes what is missing, and brings old tables up to date. */
export async function openStore(folder: string, { lasting = true }: StoreOptions = {}): Promise<Store> {
  const file = join(folder, databaseName);
  if (!lasting && existsSync(file))
    throw new Error(`There are data in ${folder}: they are opened to last, or not at all.`);
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const { dialect, pragma } = sqliteDialect(file, lasting);
  const db = new Kysely<Tables>({ dialect });
  try {
    await migrate(db);
  } catch (error) {
    await db.destroy();
    throw error;
  }
  const queue = new WriteQueue(db);
  return {
    db,
    folder,
    pragma,
    write: (work) => queue.write(work),
    async close() {
      await queue.settled();
      await db.destroy();
    },
  };
}
export type { Db } from './tables';
