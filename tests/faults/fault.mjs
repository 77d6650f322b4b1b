/** One deliberate fault: in `file` each text is replaced by another, and the named test files must catch it. */
export const fault = (name, file, changes, ...tests) => ({
  name,
  file,
  changes,
  tests: tests.map((test) => `tests/${test}.test.ts`),
});
