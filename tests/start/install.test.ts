import { execFile, spawn } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { root } from '../../server/root';

/**
 * The installer beside a package manager of our own making, which notes how it was called and "installs" a folder.
 * That the real npm does its part shows in a fresh clone: `.ci/run` starts from one.
 */
const packageManager = `
import { appendFileSync, existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { setTimeout } from 'node:timers/promises';
const [command] = process.argv.slice(2);
appendFileSync('calls.log', process.argv.slice(2, 5).join(' ') + '\\n');
console.log('chatter of the package manager');
while (existsSync('hold')) await setTimeout(10);
const fail = existsSync('fail-' + command) ? readFileSync('fail-' + command, 'utf8') : '';
if (fail) { console.error(fail); process.exit(1); }
if (command === 'ci') rmSync('node_modules', { recursive: true, force: true });
mkdirSync('node_modules/vitest', { recursive: true });
`;

let folder: string;
const at = (name: string) => join(folder, name);
const calls = () => (existsSync(at('calls.log')) ? readFileSync(at('calls.log'), 'utf8').trim().split('\n') : []);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'fair-hearing-install-'));
  mkdirSync(at('server/start'), { recursive: true });
  copyFileSync(join(root, 'server/start/install.mjs'), at('server/start/install.mjs'));
  writeFileSync(at('package-lock.json'), '{"lockfileVersion": 3}');
  writeFileSync(at('npm-cli.mjs'), packageManager);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function start(...args: string[]): Promise<{ code: number; stdout: string; stderr: string }> {
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [at('server/start/install.mjs'), ...args],
      { env: { ...process.env, npm_execpath: at('npm-cli.mjs') } },
      (error, stdout, stderr) => resolve({ code: error ? Number(error.code) : 0, stdout, stderr }),
    );
  });
}

async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setTimeout(resolve, 10));
}

test('a fresh clone is installed from the lock file once, and keeps standard output clean', async () => {
  const first = await start();
  expect(first).toMatchObject({ code: 0, stdout: '' });
  expect(first.stderr).toContain('chatter');
  expect(await start()).toEqual({ code: 0, stdout: '', stderr: '' });
  expect(calls()).toEqual(['ci --include=dev --no-audit']);
});

test('another lock file brings the packages up to date without writing to it', async () => {
  await start();
  writeFileSync(at('package-lock.json'), '{"lockfileVersion": 3, "name": "newer"}');
  await start();
  await start();
  expect(calls()).toEqual(['ci --include=dev --no-audit', 'install --no-save --include=dev']);
});

test('packages compiled for another Node are installed anew', async () => {
  await start();
  const stamp = at('node_modules/.fair-hearing-installed.json');
  writeFileSync(stamp, readFileSync(stamp, 'utf8').replace(/"abi":"\d+"/, '"abi":"1"'));
  await start();
  expect(calls()).toEqual(['ci --include=dev --no-audit', 'ci --include=dev --no-audit']);
});

test('an installation without what tests need is completed', async () => {
  await start();
  rmSync(at('node_modules/vitest'), { recursive: true });
  await start();
  expect(calls()).toEqual(['ci --include=dev --no-audit', 'install --no-save --include=dev']);
});

test('an installation by hand is noted by the postinstall script', async () => {
  mkdirSync(at('node_modules/vitest'), { recursive: true });
  await start('--stamp');
  await start();
  expect(calls()).toEqual([]);
});

test('two at once share one installation', async () => {
  writeFileSync(at('hold'), '');
  const first = start();
  await until(() => calls().length === 1);
  const second = spawn(process.execPath, [at('server/start/install.mjs')], {
    env: { ...process.env, npm_execpath: at('npm-cli.mjs') },
  });
  let said = '';
  second.stderr.on('data', (text) => {
    said += text;
  });
  const ended = new Promise((resolve) => second.on('close', resolve));
  await until(() => said.includes('waiting for it'));
  rmSync(at('hold'));
  expect((await first).code).toBe(0);
  expect(await ended).toBe(0);
  expect(calls()).toHaveLength(1);
  expect(existsSync(at('.installing'))).toBe(false);
});

test('the lock of a process that is gone is taken over, by one of several', async () => {
  const { pid } = spawn(process.execPath, ['-e', '']);
  await until(() => !isAlive(pid ?? 0));
  writeFileSync(at('.installing'), String(pid));
  const results = await Promise.all([start(), start(), start()]);
  expect(results.map(({ code }) => code)).toEqual([0, 0, 0]);
  expect(calls()).toHaveLength(1);
});

test('stopped half way, the package manager is stopped too and the next start begins anew', async () => {
  writeFileSync(at('hold'), '');
  const first = spawn(process.execPath, [at('server/start/install.mjs')], {
    env: { ...process.env, npm_execpath: at('npm-cli.mjs') },
  });
  await until(() => calls().length === 1);
  first.kill('SIGTERM');
  expect(await new Promise((resolve) => first.on('close', resolve))).toBe(1);
  rmSync(at('hold'));
  expect((await start()).code).toBe(0);
  expect(calls()).toHaveLength(2);
});

test.each([
  ['npm error code ENOTFOUND\nnpm error network request failed', 'does not reach its registry'],
  [
    'npm error prebuild ENOTFOUND\nnpm error gyp ERR! stack Error: not found: make',
    'a C++ compiler, make and Python 3',
  ],
  ['npm error gyp ERR! stack FetchError: ENOTFOUND', 'does not reach its registry'],
  ['npm error gyp ERR! build error', 'a C++ compiler, make and Python 3'],
  ['npm error code E404', 'lacks a package'],
  ['npm error code ENOSPC', 'disk is full'],
  ['npm error code EACCES', 'may not write in'],
  ['npm error something else', 'what npm said stands above'],
])('a failure is said in plain words: %s', async (output, words) => {
  writeFileSync(at('fail-ci'), output);
  const { code, stderr } = await start();
  expect(code).toBe(1);
  expect(stderr).toContain(words);
  expect(stderr).not.toContain('    at ');
  expect(existsSync(at('.installing'))).toBe(false);
});

test('a lock file that npm calls incomplete is settled by an install', async () => {
  writeFileSync(at('fail-ci'), 'npm error Missing: x@1.0.0 from lock file');
  expect((await start()).code).toBe(0);
  expect(calls()).toEqual(['ci --include=dev --no-audit', 'install --no-save --include=dev']);
});

function isAlive(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}
