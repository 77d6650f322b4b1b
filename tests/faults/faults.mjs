/**
 * Proves that the tests can fail: plants one deliberate fault at a time in a copy of the project and runs the tests that
 * should catch it. Not part of `npm test`, since it starts them anew for every fault (some minutes).
 *
 *   node tests/faults/faults.mjs            every fault
 *   node tests/faults/faults.mjs holm codes those whose name holds one of these words
 *
 * Ends with 0 when each fault makes an assertion fail, with 1 when one goes unseen, and with 2 when a fault no longer
 * fits the source that it changes, or the tests fail without any.
 */
import { execFile } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { faults } from './list.mjs';
import { planted } from './planted.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const words = process.argv.slice(2);
const chosen = faults.filter(({ name }) => words.length === 0 || words.some((word) => name.includes(word)));

const copy = mkdtempSync(join(tmpdir(), 'fh-faults-'));
process.on('exit', () => rmSync(copy, { recursive: true, force: true }));
for (const part of ['server', 'client', 'protocols', 'stats', 'shared', 'tests', 'package.json', 'tsconfig.json']) {
  cpSync(join(root, part), join(copy, part), { recursive: true });
}
symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'));

/** Runs some test files of the copy. Only tests that ran and failed count: a file that doesn't load proves nothing. */
function run(files) {
  const vitest = join(root, 'node_modules/vitest/vitest.mjs');
  const report = join(copy, 'report.json');
  rmSync(report, { force: true });
  const config = join(copy, 'tests/vitest.config.ts');
  const options = ['run', '--config', config, '--reporter=json', `--outputFile=${report}`];
  return new Promise((resolve) => {
    execFile(process.execPath, [vitest, ...options, ...files], { cwd: copy, maxBuffer: 2 ** 26 }, () => {
      const { numFailedTests, numPassedTests, testResults } = JSON.parse(readFileSync(report, 'utf8'));
      const loaded = testResults.every(({ assertionResults }) => assertionResults.length > 0);
      const [first] = testResults.flatMap((file) => file.assertionResults.filter(({ status }) => status === 'failed'));
      resolve({ failed: numFailedTests, passed: numPassedTests, loaded, first: first?.fullName ?? '' });
    });
  });
}

const plantedIn = (fault) => planted(readFileSync(join(copy, fault.file), 'utf8'), fault);
try {
  chosen.forEach(plantedIn);
} catch (error) {
  console.error(error.message);
  process.exit(2);
}

const sound = await run([...new Set(chosen.flatMap(({ tests }) => tests))]);
if (sound.failed > 0 || !sound.loaded || sound.passed === 0) {
  console.error(`Without any fault ${sound.failed} tests fail${sound.first ? `, among them “${sound.first}”` : ''}.`);
  process.exit(2);
}

let unseen = 0;
for (const fault of chosen) {
  const file = join(copy, fault.file);
  const source = readFileSync(file, 'utf8');
  writeFileSync(file, plantedIn(fault));
  const { failed, loaded, first } = await run(fault.tests);
  writeFileSync(file, source);
  const caught = failed > 0 && loaded;
  if (!caught) unseen++;
  console.log(caught ? `caught  ${fault.name}: ${failed} failed, first “${first}”` : `UNSEEN  ${fault.name}`);
}
console.log(`${chosen.length - unseen} of ${chosen.length} faults caught`);
process.exitCode = unseen > 0 ? 1 : 0;
