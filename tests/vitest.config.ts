import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const support = (name: string) => fileURLToPath(new URL(`support/${name}`, import.meta.url));

/** Tests that send signals to their process, or play with its surroundings: each file has a worker of its own. */
const apart = ['tests/cli/**/*.test.ts', 'tests/start/**/*.test.ts'];
/** These stretch passphrases in full: they hold that it is done, or share data with a server in another process. */
const inFull = ['tests/blinding/seal.test.ts', 'tests/account/password.test.ts', 'tests/flows/kill.test.ts'];

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    projects: [
      // The other files share a worker and what it has loaded, which takes as long as many of them run.
      {
        extends: true,
        test: {
          name: 'together',
          include: ['tests/**/*.test.ts'],
          exclude: [...apart, ...inFull],
          isolate: false,
          setupFiles: [support('cheap-scrypt.ts')],
        },
      },
      {
        extends: true,
        test: { name: 'apart', include: [...apart, ...inFull], setupFiles: [support('remember-scrypt.ts')] },
      },
    ],
    pool: 'threads',
    // More workers than cores load everything once more and are no faster.
    maxWorkers: '100%',
    globalSetup: [support('memory-folder.ts')],
    testTimeout: 240_000,
    hookTimeout: 240_000,
    // A busy machine makes a test slower, never red.
    expect: { poll: { timeout: 15_000 } },
    reporters: ['default', fileURLToPath(new URL('reporter.ts', import.meta.url))],
  },
});
