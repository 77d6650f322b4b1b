import { randomBytes } from 'node:crypto';
import { existsSync, realpathSync, renameSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { type Chain, chainsOf } from '../blinding/chains';
import { toolVersion } from '../root';
import {
  copyDatabase,
  hasDatabase,
  inspectDatabase,
  readingDatabase,
  removeDatabase,
  stampCopy,
} from '../store/backup';
import { syncFolderOf } from '../store/durable-file';
import { databaseName } from '../store/open';
import { type Astray, packSounds } from '../store/sound-copy';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { readDataFolder, serveOptions } from './serve-options';
import { sha256Of } from './sha256-of';
import { withSounds } from './sound-words';

/** A command runs beside the server or without it, and has only the clock of the machine. */
const machineNow = () => new Date();

interface Backup {
  file: string;
  bytes: number;
  sha256: string;
  studies: Omit<Chain, 'brokenAt'>[];
  /** How many files of sound are in it, and which are named and were not to be had. */
  sounds: { files: number; astray: Astray[] };
}

/** `backup FILE`: all that is stored but keys, in one file, also while a server runs. */
export const backup: Command = {
  name: 'backup',
  summary: 'Writes all data but keys to one file, while the server runs too',
  usage: 'FILE [--data data/] [--force] [--json]',
  options: {
    data: serveOptions.data,
    force: { type: 'boolean', summary: 'writes over FILE if there is one' },
    json: { type: 'boolean', summary: 'what was written as JSON: {file, bytes, sha256, studies, sounds}' },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, ['FILE']);
    const folder = readDataFolder(options, process.env);
    if (!hasDatabase(folder)) {
      throw new BadInput({
        code: 'no-data',
        message: `--data names ${folder}, where there is no data of Fair Hearing. Name the folder that the server uses.`,
        path: '--data',
        allowed: 'the folder that the server uses',
        got: folder,
      });
    }
    const file = placeFor(resolve(positionals[0] ?? ''), folder, options.force === true);
    const beside = `${file}.${randomBytes(4).toString('hex')}.part`;
    try {
      await copyDatabase(join(folder, databaseName), beside).catch((error: NodeJS.ErrnoException) => {
        throw cannotWrite(file, error);
      });
      stampCopy(beside, { madeAt: machineNow().toISOString(), tool: toolVersion });
      const found = inspectDatabase(beside);
      if (found.kind === 'newer') throw newerData(folder, found.what);
      if (found.kind !== 'ours') {
        return refuse(found.kind === 'no-database' ? 'it is no database' : found.what, io);
      }
      const chains = await readingDatabase(beside, chainsOf);
      const broken = chains.find((chain) => chain.brokenAt !== null);
      if (broken) return refuse(`the ledger of study ${broken.id} breaks at its entry ${broken.brokenAt}`, io);
      const sounds = packed(beside, folder, file);
      renameSync(beside, file);
      syncFolderOf(file);
      const studies = chains.map(({ brokenAt: _, ...chain }) => chain);
      const made = { file, bytes: statSync(file).size, sha256: await sha256Of(file), studies, sounds };
      show(made, options.json === true, io);
      if (sounds.astray.length === 0) return 0;
      io.stderr.write(astrayWords(sounds.astray));
      return 1;
    } finally {
      removeDatabase(beside);
    }
  },
};

function packed(copy: string, folder: string, file: string): Backup['sounds'] {
  try {
    return packSounds(copy, folder);
  } catch (error) {
    throw cannotWrite(file, error as NodeJS.ErrnoException);
  }
}

/** The backup is there all the same, and holds everything else: what is lost already must not cost the rest. */
function astrayWords(astray: readonly Astray[]): string {
  const [one] = astray;
  const which =
    astray.length === 1 && one
      ? `a file of sound is ${one.what}`
      : `${astray.length} files of sound are missing or damaged`;
  return [
    `The backup was written, but ${which} in the data folder, and not in it:`,
    ...astray.map(({ sha256, what }) => `  sound/${sha256} (${what})`),
    'Bring these files again on the Sound page of their study, or look for them in an older backup.',
    '',
  ].join('\n');
}

/** Where the backup goes. @throws BadInput when something lies there, or when it is a place of the live data. */
function placeFor(file: string, folder: string, force: boolean): string {
  const refused = (code: string, message: string, allowed: string) =>
    new BadInput({ code, message, path: 'FILE', allowed, got: file });
  if (!existsSync(dirname(file)) || !statSync(dirname(file)).isDirectory()) {
    throw refused(
      'no-folder',
      `There is no folder ${dirname(file)}. Make it, or name another.`,
      'a file in a folder that exists',
    );
  }
  const home = realpathSync(dirname(file)) === realpathSync(folder);
  if (home && basename(file).toLowerCase().startsWith(databaseName)) {
    throw refused(
      'live-data',
      `${file} is where the data themselves are. Name another file, best on another disk.`,
      'a file elsewhere',
    );
  }
  if (existsSync(file) && !statSync(file).isFile()) {
    throw refused('not-a-file', `${file} is not a file. Name a file.`, 'a file, new or to be written over');
  }
  if (existsSync(file) && !force) {
    throw refused(
      'file-exists',
      `${file} is there already. Name another, or write over it with --force.`,
      'a new file, or --force',
    );
  }
  return file;
}

function cannotWrite(file: string, error: NodeJS.ErrnoException): unknown {
  if (!/^(EACCES|EPERM|EROFS|ENOSPC|SQLITE_(CANTOPEN|READONLY|FULL|IOERR))/.test(error.code ?? '')) return error;
  return new BadInput({
    code: 'unwritable',
    message: `${file} can't be written (${error.code}). Name another place, or make room.`,
    path: 'FILE',
    allowed: 'a file that this user may write',
    got: file,
  });
}

const newerData = (folder: string, step: string) =>
  new BadInput({
    code: 'newer-version',
    message: `The data in ${folder} were written by a newer version of Fair Hearing (step ${step}). Update this one first.`,
    path: '--data',
    allowed: 'data of this version or an older one',
    got: folder,
  });

/** What isn't whole is no backup. The one before it, if FILE was one, is still there. */
function refuse(what: string, io: Io): number {
  io.stderr.write(
    `No backup was written: the data are damaged (${what}). Keep the data folder as it is and go back to an older backup.\n`,
  );
  return 1;
}

function show(made: Backup, json: boolean, io: Io): void {
  if (json) {
    io.stdout.write(`${JSON.stringify(made)}\n`);
    return;
  }
  const { length } = made.studies;
  io.stdout.write(
    [
      `Written: ${made.file}, ${made.bytes} bytes, with ${length === 1 ? '1 study' : `${length} studies`}${withSounds(made.sounds.files)}. Every ledger holds.`,
      `SHA-256: ${made.sha256}`,
      'It holds no working keys: whoever has it still needs the passphrase of a study to see what is what. Names and answers are in it, so keep it as you keep those.',
      '',
    ].join('\n'),
  );
}
