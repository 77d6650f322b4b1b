import crypto from 'node:crypto';
import { syncBuiltinESMExports } from 'node:module';

/**
 * scrypt is slow on purpose, and the same passphrases of the same prepared studies are stretched hundreds of times over
 * all tests. It is a pure function: each worker works out the same question once. Whatever is new is stretched in full.
 */
type Remembering = typeof crypto.scrypt & { remembers?: true };
type Done = (error: Error | null, key: Buffer) => void;

const stretch = crypto.scrypt as Remembering;
if (!stretch.remembers) {
  const known = new Map<string, Buffer>();
  const remembering = (
    password: crypto.BinaryLike,
    salt: crypto.BinaryLike,
    length: number,
    options: crypto.ScryptOptions,
    done: Done,
  ): void => {
    const parts = [password, salt].map((part) => Buffer.from(part as Buffer).toString('hex'));
    const question = JSON.stringify([...parts, length, options]);
    const answer = known.get(question);
    if (answer) {
      setImmediate(() => done(null, Buffer.from(answer)));
      return;
    }
    stretch(password, salt, length, options, (error, key) => {
      if (!error) known.set(question, Buffer.from(key));
      done(error, key);
    });
  };
  crypto.scrypt = Object.assign(remembering, { remembers: true }) as unknown as typeof crypto.scrypt;
  syncBuiltinESMExports();
}
