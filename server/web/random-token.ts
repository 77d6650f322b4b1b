import { createHash, randomBytes } from 'node:crypto';

/** 256 random bits that nobody can guess, for links and cookies. */
export function randomToken(): string {
  return randomBytes(32).toString('base64url');
}

/** What the store keeps of a token: enough to know it again, useless to whoever reads the file. */
export function tokenHash(token: string): string {
  return createHash('sha256').update(token).digest('hex');
}
