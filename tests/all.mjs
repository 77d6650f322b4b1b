/**
 * What `npm test` does once everything is installed: types and style are checked while the tests already run, since
 * each of the three leaves a processor idle now and then. The first that finds a fault ends the others.
 *
 *   node tests/all.mjs [what vitest takes]
 */
import { spawn } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const installed = (...path) => join(root, 'node_modules', ...path);
const cache = installed('.cache', 'fair-hearing');
mkdirSync(cache, { recursive: true });

const checks = {
  // What it found out about files that haven’t changed since is kept for the next time.
  types: [
    installed('typescript', 'bin', 'tsc'),
    '--noEmit',
    '--incremental',
    '--tsBuildInfoFile',
    join(cache, 'types.tsbuildinfo'),
  ],
  style: [installed('@biomejs', 'biome', 'bin', 'biome'), 'check'],
};
const tests = [installed('vitest', 'vitest.mjs'), 'run', '--config', join(root, 'tests/vitest.config.ts')];

/** Starts a program of the project; what a check says is shown only if it fails, in one piece. */
function start(name, words, stdio) {
  const child = spawn(process.execPath, words, { cwd: root, stdio: ['ignore', stdio, stdio] });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (text) => (said += text));
  const ended = new Promise((resolve) => {
    child.once('close', (code) => resolve({ name, code: code ?? 1, said }));
  });
  return { child, ended };
}

const running = [
  start('tests', [...tests, ...process.argv.slice(2)], 'inherit'),
  ...Object.entries(checks).map(([name, words]) => start(name, words, 'pipe')),
];
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) {
  process.on(signal, () => {
    for (const { child } of running) child.kill(signal);
  });
}
let over = false;
for (const { ended } of running) {
  ended.then(({ name, code, said }) => {
    // The first fault is the one to be told; what is ended for its sake has none of its own.
    if (code === 0 || over) return;
    over = true;
    process.exitCode = code;
    if (said) process.stdout.write(`\n${said}\nThe check of ${name} failed.\n`);
    for (const { child } of running) child.kill('SIGTERM');
  });
}
