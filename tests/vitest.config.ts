import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** Tests of pure functions, which can't get in each other's way: their files share a worker and what it has loaded. */
const pure = ['tests/stats/**/*.test.ts'];

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    projects: [
      { extends: true, test: { name: 'pure', include: pure, isolate: false } },
      { extends: true, test: { name: 'whole', include: ['tests/**/*.test.ts'], exclude: pure } },
    ],
    pool: 'threads',
    // Much of the time goes to waiting for browsers and processes, so every core gets a worker; by default one stays idle.
    maxWorkers: '100%',
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // A busy machine makes a test slower, never red.
    expect: { poll: { timeout: 15_000 } },
    reporters: ['default', fileURLToPath(new URL('reporter.ts', import.meta.url))],
  },
});
