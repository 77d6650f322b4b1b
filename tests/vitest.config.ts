import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** Tests that send signals to their process, or play with its surroundings: each file has a worker of its own. */
const apart = ['tests/cli/**/*.test.ts', 'tests/start/**/*.test.ts'];

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    projects: [
      // The other files share a worker and what it has loaded, which takes as long as many of them run.
      { extends: true, test: { name: 'together', include: ['tests/**/*.test.ts'], exclude: apart, isolate: false } },
      { extends: true, test: { name: 'apart', include: apart } },
    ],
    pool: 'threads',
    // More workers than cores load everything once more and are no faster.
    maxWorkers: '100%',
    setupFiles: [fileURLToPath(new URL('support/remember-scrypt.ts', import.meta.url))],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // A busy machine makes a test slower, never red.
    expect: { poll: { timeout: 15_000 } },
    reporters: ['default', fileURLToPath(new URL('reporter.ts', import.meta.url))],
  },
});
