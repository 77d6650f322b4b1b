import crypto from 'node:crypto';
import { syncBuiltinESMExports } from 'node:module';

/**
 * scrypt is slow on purpose, and tests stretch passphrases by the hundred. Here it is the same function at the least cost;
 * the cost that was asked for goes into the salt, so that another cost still gives another key. What is stretched in
 * full, and that the server asks for it, is held by `tests/account/password.test.ts` and `tests/blinding/seal.test.ts`,
 * which run without this file, and so does whatever hands its data to a server of another process.
 */
type Done = (error: Error | null, key: Buffer) => void;
type Stretch = typeof crypto.scrypt & { cheap?: true };

const stretch = crypto.scrypt as Stretch;
if (!stretch.cheap) {
  const cheap = (
    password: crypto.BinaryLike,
    salt: crypto.BinaryLike,
    length: number,
    options: crypto.ScryptOptions,
    done: Done,
  ): void => {
    const { N, r, p } = options;
    const bound = Buffer.concat([Buffer.from(salt as Buffer), Buffer.from(JSON.stringify([N, r, p]))]);
    stretch(password, bound, length, { N: 2, r: 1, p: 1 }, done);
  };
  crypto.scrypt = Object.assign(cheap, { cheap: true }) as unknown as typeof crypto.scrypt;
  syncBuiltinESMExports();
}
