import { createCipheriv, createDecipheriv, randomBytes, scrypt } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fchmodSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import type { StudyId } from '../../shared/brands';

/** Encryption at rest of what could unblind a study: AES-256-GCM (NIST SP 800-38D), keys of 32 bytes. */

/** Seals bytes with a key; `context` is bound to the seal, so that one can't be put in another's place. */
export function seal(key: Buffer, plain: Buffer, context: string): string {
  const iv = randomBytes(12);
  const cipher = createCipheriv('aes-256-gcm', key, iv).setAAD(Buffer.from(context));
  const body = Buffer.concat([cipher.update(plain), cipher.final()]);
  return Buffer.concat([iv, cipher.getAuthTag(), body]).toString('base64');
}

/** Opens what `seal` sealed. @throws Error when the key, the context or the bytes are not the same. */
export function unseal(key: Buffer, sealed: string, context: string): Buffer {
  const bytes = Buffer.from(sealed, 'base64');
  // Without a stated length a tag of four bytes would pass, and so would a seal that was cut short.
  const options = { authTagLength: 16 };
  const decipher = createDecipheriv('aes-256-gcm', key, bytes.subarray(0, 12), options).setAAD(Buffer.from(context));
  decipher.setAuthTag(bytes.subarray(12, 28));
  return Buffer.concat([decipher.update(bytes.subarray(28)), decipher.final()]);
}

/** scrypt (RFC 7914, 2016): 64 MB of memory for each guess at a passphrase. */
const cost = { N: 2 ** 16, r: 8, p: 1, maxmem: 2 ** 28 };

function stretched(passphrase: string, salt: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(passphrase.normalize('NFKC'), salt, 32, cost, (error, key) => (error ? reject(error) : resolve(key)));
  });
}

/** Seals a study's data key with a passphrase. */
export async function sealWithPassphrase(passphrase: string, plain: Buffer, context: string): Promise<string> {
  const salt = randomBytes(16);
  return `${salt.toString('base64')}.${seal(await stretched(passphrase, salt), plain, context)}`;
}

/** The sealed bytes, or null when the passphrase is not the right one. */
export async function openWithPassphrase(passphrase: string, sealed: string, context: string): Promise<Buffer | null> {
  const [salt = '', body = ''] = sealed.split('.');
  const key = await stretched(passphrase, Buffer.from(salt, 'base64'));
  try {
    return unseal(key, body, context);
  } catch {
    return null;
  }
}

/**
 * A key of 32 bytes in a file that only this account can read: the data key of a study that runs, so that a restart
 * needs nobody, destroyed when the study closes; and the key that signs. Whoever has root on this machine can read it.
 */
const keyLength = 32;

export class KeyFile {
  private readonly keys: string;
  private readonly file: string;

  constructor(folder: string, name: StudyId | 'signing') {
    this.keys = join(folder, 'keys');
    mkdirSync(this.keys, { recursive: true, mode: 0o700 });
    this.file = join(this.keys, `${name}.key`);
  }

  write(key: Buffer): void {
    const handle = openSync(this.file, 'w', 0o600);
    // The mode above only counts for a file that is made now.
    fchmodSync(handle, 0o600);
    writeSync(handle, key);
    fsyncSync(handle);
    closeSync(handle);
    this.syncFolder();
  }

  /** A new file's name survives a power cut only with its folder; Windows keeps folders by itself. */
  private syncFolder(): void {
    if (process.platform === 'win32') return;
    const handle = openSync(this.keys, 'r');
    fsyncSync(handle);
    closeSync(handle);
  }

  /** Null when there is none, or one that was cut short. */
  read(): Buffer | null {
    const key = existsSync(this.file) ? readFileSync(this.file) : null;
    return key?.length === keyLength ? key : null;
  }

  destroy(): void {
    if (!existsSync(this.file)) return;
    const handle = openSync(this.file, 'r+');
    writeSync(handle, randomBytes(32), 0, 32, 0);
    fsyncSync(handle);
    closeSync(handle);
    unlinkSync(this.file);
  }
}
