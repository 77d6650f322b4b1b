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
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { readDataFolder, serveOptions } from './serve-options';
import { sha256Of } from './sha256-of';

/** A command runs beside the server or without it, and has only the clock of the machine. */
const machineNow = () => new Date();

interface Backup {
  file: string;
  bytes: number;
  sha256: string;
  studies: Omit<Chain, 'brokenAt'>[];
}

/** `backup FILE`: all that is stored but keys, in one file, also while a server runs. */
export const backup: Command = {
  name: 'backup',
  summary: 'Writes all data but keys to one file, while the server runs too',
  usage: 'FILE [--data data/] [--force] [--json]',
  options: {
    data: serveOptions.data,
    force: { type: 'boolean', summary: 'writes over FILE if there is one' },
    json: { type: 'boolean', summary: 'what was written as JSON: {file, bytes, sha256, studies}' },
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
      renameSync(beside, file);
      syncFolderOf(file);
      const studies = chains.map(({ brokenAt: _, ...chain }) => chain);
      show({ file, bytes: statSync(file).size, sha256: await sha256Of(file), studies }, options.json === true, io);
      return 0;
    } finally {
      removeDatabase(beside);
    }
  },
};

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
      `Written: ${made.file}, ${made.bytes} bytes, with ${length === 1 ? '1 study' : `${length} studies`}. Every ledger holds.`,
      `SHA-256: ${made.sha256}`,
      'It holds no working keys: whoever has it still needs the passphrase of a study to see what is what. Names and answers are in it, so keep it as you keep those.',
      '',
    ].join('\n'),
  );
}
