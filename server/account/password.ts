import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { promisify } from 'node:util';
import { z } from 'zod';
import type { StaffId } from '../../shared/brands';
import type { Store } from '../store/open';
import { staffById } from '../store/staff';

export const passwordLength = { min: 10, max: 200 } as const;

/** Characters are counted as people see them typed: by code point. */
export const passwordSchema = z.string().superRefine((password, context) => {
  const length = [...password].length;
  if (length < passwordLength.min) {
    context.addIssue({ code: 'too_small', origin: 'string', minimum: passwordLength.min, inclusive: true, input: '' });
  }
  if (length > passwordLength.max) {
    context.addIssue({ code: 'too_big', origin: 'string', maximum: passwordLength.max, inclusive: true, input: '' });
  }
});

const derive = promisify(
  scrypt as (
    password: string,
    salt: Buffer,
    length: number,
    options: ScryptOptions,
    done: (error: Error | null, key: Buffer) => void,
  ) => void,
);

/**
 * Cost of a guess: 2^15 × 8 blocks, three times over (RFC 7914 for the function; the OWASP Password Storage Cheat
 * Sheet, as remembered, gives these three as one of its equivalent minimums). It stands beside every hash, so that a
 * later version can raise it.
 */
const cost = { N: 2 ** 15, r: 8, p: 3 } as const;
const keyLength = 32;

/** `scrypt$N$r$p$salt$key`, the last two in base64url. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16);
  const key = await stretch(password, salt, cost);
  return ['scrypt', cost.N, cost.r, cost.p, salt.toString('base64url'), key.toString('base64url')].join('$');
}

/** With no hash (nobody has that name) the same work is done, so that the time taken tells nothing. */
export async function passwordFits(password: string, stored: string | null): Promise<boolean> {
  const { salt, key, ...costs } = stored === null ? nobody : parse(stored);
  const given = await stretch(password, salt, costs);
  return timingSafeEqual(given, key) && stored !== null;
}

/** For acts that ask for the password once more, such as a signature. Callers limit the attempts. */
export async function verifyPassword(store: Store, staffId: StaffId, password: string): Promise<boolean> {
  const staff = await staffById(store.db, staffId);
  return passwordFits(password, staff?.password ?? null);
}

const nobody = { ...cost, salt: randomBytes(16), key: randomBytes(keyLength) };

function stretch(password: string, salt: Buffer, { N, r, p }: { N: number; r: number; p: number }): Promise<Buffer> {
  // The same letters may come as different code points from another keyboard (NIST SP 800-63B, 5.1.1.2, as remembered).
  return derive(password.normalize('NFKC'), salt, keyLength, { N, r, p, maxmem: 256 * N * r });
}

function parse(stored: string): { N: number; r: number; p: number; salt: Buffer; key: Buffer } {
  const [kind, n, r, p, salt, key] = stored.split('$');
  if (kind !== 'scrypt' || !salt || !key)
    throw new Error('A stored password hash is not in the format of this version.');
  return {
    N: Number(n),
    r: Number(r),
    p: Number(p),
    salt: Buffer.from(salt, 'base64url'),
    key: Buffer.from(key, 'base64url'),
  };
}
