import type { Reporter, TestModule } from 'vitest/node';

/** Closes a run with one line that people and programs can read: "N passed, N failed". */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const count = { passed: 0, failed: unhandled.length, skipped: 0, pending: 0 };
    for (const module of modules) {
      // A file that could not even be loaded has no tests to count, and still failed.
      if (module.errors().length > 0) count.failed += 1;
      for (const test of module.children.allTests()) count[test.result().state] += 1;
    }
    const rest = count.skipped + count.pending;
    process.stdout.write(`${rest > 0 ? `${rest} not run\n` : ''}${count.passed} passed, ${count.failed} failed\n`);
  }
}
