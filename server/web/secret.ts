import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  closeSync,
  fsyncSync,
  linkSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';

const length = 32;

/**
 * The server's own secret, from the file `secret` in the data folder, which is made at the first start. It signs the
 * tokens in forms, so that a page opened before a restart can still be sent after it.
 */
export function readSecret(folder: string): Buffer {
  const file = join(folder, 'secret');
  const secret = readIfThere(file) ?? make(file);
  if (secret.length !== length) {
    throw new Error(
      `The file ${file} must hold ${length} bytes, and holds ${secret.length}. Move it away: the next start makes a new one, and pages that are open must be loaded anew.`,
    );
  }
  // A copy or a restored backup may have come back readable by everyone.
  if (process.platform !== 'win32' && (statSync(file).mode & 0o077) !== 0) chmodSync(file, 0o600);
  return secret;
}

function readIfThere(file: string): Buffer | null {
  try {
    return readFileSync(file);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

/** Written beside and then linked, so that a file by this name is always whole and two starts at once agree. */
function make(file: string): Buffer {
  const beside = `${file}.${process.pid}.${randomBytes(4).toString('hex')}`;
  const handle = openSync(beside, 'wx', 0o600);
  try {
    writeSync(handle, randomBytes(length));
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  try {
    linkSync(beside, file);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  } finally {
    rmSync(beside);
  }
  return readFileSync(file);
}
