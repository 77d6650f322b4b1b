import { randomBytes } from 'node:crypto';
import { mkdirSync, realpathSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { chainsOf } from '../blinding/chains';
import { occupantOf } from '../occupant';
import {
  copyDatabase,
  inspectDatabase,
  migrateCopy,
  readingDatabase,
  removeDatabase,
  type Stamp,
} from '../store/backup';
import { databaseName } from '../store/open';
import { type Astray, DamagedSound, unpackSounds } from '../store/sound-copy';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { type PutBack, putBack } from './put-back';
import { readDataFolder, serveOptions } from './serve-options';
import { sha256Of } from './sha256-of';
import { withSounds } from './sound-words';

/** A command runs beside the server or without it, and has only the clock of the machine. */
const machineNow = () => new Date();

/** `restore FILE`: brings a backup back, also while a server runs, and leaves a trace in every ledger. */
export const restore: Command = {
  name: 'restore',
  summary: 'Brings a backup back, while the server runs too, and keeps what was there',
  usage: 'FILE [--data data/] [--json]',
  options: {
    data: serveOptions.data,
    json: {
      type: 'boolean',
      summary: 'what was brought back as JSON: {file, sha256, data, madeAt, kept, studies, gone, sounds}',
    },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['FILE']);
    const file = resolve(positionals[0] ?? '');
    const folder = readDataFolder(options, process.env);
    makeFolder(folder);
    const copy = join(folder, `restoring-${randomBytes(4).toString('hex')}.sqlite`);
    try {
      const stamp = await checkedCopy(file, folder, copy);
      // Before the database names them.
      const sounds = unpacked(file, copy, folder);
      const done = await putBack({
        folder,
        copy,
        at: machineNow(),
        madeAt: stamp?.madeAt ?? null,
        served: (await occupantOf(folder)) !== undefined,
      });
      const madeAt = stamp?.madeAt ?? null;
      show({ file, sha256: await sha256Of(file), data: folder, madeAt, ...done, sounds }, options.json === true, io);
      return 0;
    } catch (error) {
      throw undone(folder, error);
    } finally {
      removeDatabase(copy);
    }
  },
};

/** @throws BadInput when a file of sound in the backup isn't what it was: then the backup isn't */
function unpacked(file: string, copy: string, folder: string): Done['sounds'] {
  try {
    return unpackSounds(copy, folder);
  } catch (error) {
    if (!(error instanceof DamagedSound)) throw error;
    throw new BadInput({
      code: 'damaged',
      message: `${file} is damaged: its file of sound ${error.sha256} is not what it was. Nothing was changed. Take another backup.`,
      path: 'FILE',
      allowed: 'a file that backup has written',
      got: file,
    });
  }
}

function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
  } catch (error) {
    throw new BadInput({
      code: 'unusable-data',
      message: `--data names ${folder}, which is no folder and can't be made one (${(error as NodeJS.ErrnoException).code}). Nothing was changed.`,
      path: '--data',
      allowed: 'a folder that this user may write in, new or written by Fair Hearing',
      got: folder,
    });
  }
}

/** What stopped a restore before anything was replaced, in words where it is known. */
function undone(folder: string, error: unknown): unknown {
  const { code = '' } = error as NodeJS.ErrnoException;
  if (code === 'EEXIST') {
    return new BadInput({
      code: 'data-in-use',
      message: `Something else was brought back to ${folder} at the same moment. Nothing was changed by this one. Look at what is there, then try again.`,
      path: '--data',
      allowed: 'one restore at a time',
      got: folder,
    });
  }
  if (!/^(ENOSPC|EDQUOT|SQLITE_FULL)/.test(code)) return error;
  // Three copies lie side by side for a while: what was there, what comes, and what is there then.
  return new BadInput({
    code: 'no-room',
    message: `There is no room on the disk of ${folder}, which must hold the backup and what is there now beside it. Nothing was lost and nothing was brought back. Make room, then try again.`,
    path: '--data',
    allowed: 'a disk with room for three times the backup',
    got: folder,
  });
}

/**
 * A copy of the file in the data folder, whole, ours, every chain held, and brought up to date. Only this copy is used
 * from here on, whatever becomes of the file. @throws BadInput that says what is wrong with the file
 */
async function checkedCopy(file: string, folder: string, copy: string): Promise<Stamp | null> {
  const refused = (code: string, message: string) =>
    new BadInput({ code, message, path: 'FILE', allowed: 'a file that backup has written', got: file });
  const real = realPath(file);
  if (real !== null && real === realPath(join(folder, databaseName))) {
    throw refused('live-data', `${file} is what is there now. Name a backup.`);
  }
  const found = await readable(file, refused, async () => {
    const found = inspectDatabase(file);
    if (found.kind === 'ours') await copyDatabase(file, copy);
    return found;
  });
  switch (found.kind) {
    case 'no-database':
      throw refused('not-a-database', `${file} is no database at all. Nothing was changed. Name a file of backup.`);
    case 'another':
      throw refused(
        'not-a-backup',
        `${file} is a database, but none of Fair Hearing: ${found.what}. Nothing was changed.`,
      );
    case 'damaged':
      throw refused('damaged', `${file} is damaged (${found.what}). Nothing was changed. Take another backup.`);
    case 'newer':
      throw refused(
        'newer-version',
        `${file} was written by a newer version of Fair Hearing (step ${found.what}). Nothing was changed. Update this one first.`,
      );
  }
  const broken = (await readingDatabase(copy, chainsOf)).find((chain) => chain.brokenAt !== null);
  if (broken) {
    throw refused(
      'broken-chain',
      `In ${file} the ledger of study ${broken.id} breaks at its entry ${broken.brokenAt}: it was changed after it was written. Nothing was changed here. Take another backup.`,
    );
  }
  await migrateCopy(copy);
  return found.stamp;
}

async function readable<T>(
  file: string,
  refused: (code: string, message: string) => BadInput,
  read: () => Promise<T>,
): Promise<T> {
  try {
    return await read();
  } catch (error) {
    // Where not even the folder is, the database says so without a code.
    const { code = error instanceof TypeError ? 'ENOENT' : '' } = error as NodeJS.ErrnoException;
    if (!/^(ENOENT|ENOTDIR|EACCES|EPERM|EISDIR|SQLITE_(CANTOPEN|READONLY|IOERR|AUTH|PERM))/.test(code)) throw error;
    throw refused('unreadable', `${file} can't be read (${code}). Nothing was changed.`);
  }
}

function realPath(file: string): string | null {
  try {
    return realpathSync(file);
  } catch {
    return null;
  }
}

interface Done extends PutBack {
  file: string;
  sha256: string;
  data: string;
  madeAt: string | null;
  /** How many files of sound the backup had, and which it names that are nowhere. */
  sounds: { files: number; astray: Astray[] };
}

function show(done: Done, json: boolean, io: Io): void {
  if (json) {
    io.stdout.write(`${JSON.stringify(done)}\n`);
    return;
  }
  const { file, sha256, kept, studies, gone, sounds } = done;
  const asks = studies.filter(({ state, keyThere }) => (state === 'locked' || state === 'running') && !keyThere);
  io.stdout.write(
    [
      `Brought back: ${file}, with ${counted(studies.length)}${withSounds(sounds.files)}. Each ledger with a locked plan says so.`,
      `SHA-256: ${sha256}; as it was said when the backup was written, if it is that one.`,
      ...(kept === null ? [] : [`What was there before is kept in ${kept}.`]),
      ...(gone.length === 0
        ? []
        : [`Not in this backup, so gone from here: ${counted(gone.length)} (${gone.join(', ')}).`]),
      ...(asks.length === 0
        ? []
        : [
            `The working key of ${counted(asks.length)} is not here: type the passphrase under Prepare before the next session.`,
          ]),
      ...(sounds.astray.length === 0
        ? []
        : [
            `Of the files of sound that it names, ${sounds.astray.length} ${sounds.astray.length === 1 ? 'is' : 'are'} not in it and not here: bring them again under Sound before the next session (${sounds.astray.map(({ sha256 }) => sha256).join(', ')}).`,
          ]),
      'Pages that are open should be loaded anew. Staff who signed in after the backup must sign in again.',
      '',
    ].join('\n'),
  );
}

const counted = (studies: number): string => (studies === 1 ? '1 study' : `${studies} studies`);
