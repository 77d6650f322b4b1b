import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const support = (name: string) => fileURLToPath(new URL(`support/${name}`, import.meta.url));

/** These stretch passphrases in full: they hold that it is done, or share data with a server in another process. */
const inFull = [
  'tests/account/password.test.ts',
  'tests/blinding/seal.test.ts',
  'tests/cli/beside-server.test.ts',
  'tests/cli/restore.test.ts',
  'tests/cli/sound-backup.test.ts',
  'tests/flows/kill.test.ts',
];

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'most',
          include: ['tests/**/*.test.ts'],
          exclude: inFull,
          setupFiles: [support('cheap-scrypt.ts'), support('light-dom.ts')],
        },
      },
      {
        extends: true,
        test: {
          name: 'in full',
          include: inFull,
          setupFiles: [support('remember-scrypt.ts'), support('light-dom.ts')],
        },
      },
    ],
    // Files share a worker and what it has loaded, which takes as long as many of them run. So whatever a test changes in
    // its process it puts back.
    isolate: false,
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
