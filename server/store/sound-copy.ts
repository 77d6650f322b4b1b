import { createHash, randomBytes } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readSync,
  renameSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { syncFile, syncFolderOf } from './durable-file';

/**
 * The sound files that a database names lie beside it in the data folder, each by its SHA-256. A backup is one file, so
 * that they go into it, in a table that is in copies only.
 */

/** Not a table of ours: see `swapRows` in backup.ts. */
export const soundTable = 'sound_bytes';

/** So much of a file is in memory at a time. */
const chunk = 1 << 20;

const placeOf = (folder: string, sha256: string): string => join(folder, 'sound', sha256);

export interface Astray {
  sha256: string;
  /** Not in the data folder; or there and not what its name says. */
  what: 'missing' | 'damaged';
}

/** Puts the sound files that a copy names into it. What isn't whole stays out and is named in the answer. */
export function packSounds(copy: string, folder: string): { files: number; astray: Astray[] } {
  const database = new Database(copy);
  const astray: Astray[] = [];
  let files: number;
  try {
    // A backup that was put in place by hand has its sounds in it still, and perhaps nowhere else.
    database.exec(
      `CREATE TABLE IF NOT EXISTS ${soundTable} (
         sha256 TEXT NOT NULL, number INTEGER NOT NULL, bytes BLOB NOT NULL, PRIMARY KEY (sha256, number)
       ) STRICT`,
    );
    const insert = database.prepare(`INSERT INTO ${soundTable} VALUES (?, ?, ?)`);
    const remove = database.prepare(`DELETE FROM ${soundTable} WHERE sha256 = ?`);
    const named = namedIn(database);
    for (const sha256 of packedIn(database)) if (!named.includes(sha256)) remove.run(sha256);
    const pack = database.transaction((sha256: string) => {
      remove.run(sha256);
      const file = placeOf(folder, sha256);
      const hash = createHash('sha256');
      let number = 0;
      for (const bytes of piecesOf(file)) {
        hash.update(bytes);
        insert.run(sha256, number++, bytes);
      }
      if (hash.digest('hex') !== sha256) throw new NotWhole('damaged');
    });
    for (const sha256 of named) {
      try {
        pack(sha256);
      } catch (error) {
        const what = whatOf(error);
        if (!what) throw error;
        // What the transaction took out is back.
        if (!packedIn(database).includes(sha256)) astray.push({ sha256, what });
      }
    }
    files = packedIn(database).length;
  } finally {
    database.close();
  }
  syncFile(copy);
  return { files, astray };
}

class NotWhole extends Error {
  constructor(readonly what: Astray['what']) {
    super(what);
  }
}

function whatOf(error: unknown): Astray['what'] | null {
  if (error instanceof NotWhole) return error.what;
  const { code = '' } = error as NodeJS.ErrnoException;
  if (/^(ENOENT|ENOTDIR)$/.test(code)) return 'missing';
  return /^(EACCES|EPERM|EISDIR|EIO)$/.test(code) ? 'damaged' : null;
}

/** A backup of before there was sound names none. */
function namedIn(database: Database.Database): string[] {
  const there = database.prepare("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'sound_file'").get();
  if (!there) return [];
  return database.prepare('SELECT sha256 FROM sound_file ORDER BY sha256').pluck().all() as string[];
}

function* piecesOf(file: string): Generator<Buffer> {
  const handle = openSync(file, 'r');
  try {
    for (;;) {
      const bytes = Buffer.allocUnsafe(chunk);
      const read = readSync(handle, bytes, 0, chunk, null);
      if (read === 0) return;
      yield bytes.subarray(0, read);
    }
  } finally {
    closeSync(handle);
  }
}

/**
 * Writes the sound files of a copy into a data folder, each checked and on disk by its name when this returns. What is
 * there already and whole stays. Nothing refers to them before the database takes its place, so that whatever stops it
 * half way has changed nothing. Answers with what the copy names and neither it nor the folder has.
 * @throws DamagedSound when what the copy holds isn't what it was made of
 */
export function unpackSounds(copy: string, folder: string): { files: number; astray: Astray[] } {
  const database = new Database(copy, { readonly: true, fileMustExist: true });
  try {
    const packed = packedIn(database);
    const read =
      packed.length === 0 ? null : database.prepare(`SELECT bytes FROM ${soundTable} WHERE sha256 = ? ORDER BY number`);
    for (const sha256 of packed) {
      if (stateOf(folder, sha256) === 'whole') continue;
      writeChecked(folder, sha256, read?.pluck().iterate(sha256) as Iterable<Buffer>);
    }
    const astray = namedIn(database).flatMap((sha256): Astray[] => {
      if (packed.includes(sha256)) return [];
      const what = stateOf(folder, sha256);
      return what === 'whole' ? [] : [{ sha256, what }];
    });
    return { files: packed.length, astray };
  } finally {
    database.close();
  }
}

/** A sound in a copy that is not what it was made of. */
export class DamagedSound extends Error {
  constructor(readonly sha256: string) {
    super(`The sound ${sha256} is not what it was.`);
  }
}

function packedIn(database: Database.Database): string[] {
  const there = database.prepare("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?").get(soundTable);
  if (!there) return [];
  return database.prepare(`SELECT DISTINCT sha256 FROM ${soundTable} ORDER BY sha256`).pluck().all() as string[];
}

function stateOf(folder: string, sha256: string): 'whole' | Astray['what'] {
  const file = placeOf(folder, sha256);
  if (!existsSync(file)) return 'missing';
  const hash = createHash('sha256');
  try {
    for (const bytes of piecesOf(file)) hash.update(bytes);
  } catch (error) {
    const what = whatOf(error);
    if (!what) throw error;
    return what;
  }
  return hash.digest('hex') === sha256 ? 'whole' : 'damaged';
}

function writeChecked(folder: string, sha256: string, pieces: Iterable<Buffer>): void {
  const file = placeOf(folder, sha256);
  mkdirSync(join(folder, 'sound'), { recursive: true, mode: 0o700 });
  // By this ending the shelf sweeps away what was cut off.
  const beside = join(folder, 'sound', `${randomBytes(16).toString('hex')}.part`);
  const hash = createHash('sha256');
  const handle = openSync(beside, 'wx', 0o600);
  try {
    try {
      for (const bytes of pieces) {
        hash.update(bytes);
        for (let at = 0; at < bytes.length; ) at += writeSync(handle, bytes, at);
      }
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    // So no other name than a hash becomes that of a file, and none leads out of the folder.
    if (hash.digest('hex') !== sha256) throw new DamagedSound(sha256);
    renameSync(beside, file);
  } finally {
    rmSync(beside, { force: true });
  }
  syncFolderOf(file);
}
