import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts'],
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
