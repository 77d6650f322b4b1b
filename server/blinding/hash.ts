import { createHash } from 'node:crypto';

/** SHA-256 in small hexadecimal letters. */
export function sha256(...parts: (string | Buffer)[]): string {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest('hex');
}
