import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { root } from '../../server/root';
import { aPlan } from '../blinding/a-plan';

/** What plays in a folder of its own, as a process of its own, stopped in the middle of it. */

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-stopped-test-'));
const plan = join(folder, 'plan.json');
writeFileSync(plan, JSON.stringify(aPlan({ audiences: [['home', 4]] })));
const started: ChildProcess[] = [];
afterAll(() => {
  for (const child of started) child.kill('SIGKILL');
  rmSync(folder, { recursive: true });
});

/** Starts a command with a folder for temporary ones; `plays` resolves once what it says has these words in it. */
function start(words: string[], saying: string) {
  const temporary = join(folder, words[0] ?? '');
  mkdirSync(temporary);
  const child = spawn(process.execPath, [join(root, 'server/start/fh.mjs'), ...words], {
    cwd: root,
    env: { ...process.env, TMPDIR: temporary, TEMP: temporary, TMP: temporary },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  started.push(child);
  let said = '';
  const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
  const plays = new Promise<void>((resolve, reject) => {
    const hear = (text: unknown) => {
      said += String(text);
      if (said.includes(saying)) resolve();
    };
    child.stdout?.on('data', hear);
    child.stderr?.on('data', hear);
    child.on('message', (progress) => hear(JSON.stringify(progress)));
    child.once('close', (code) => reject(new Error(`ended with ${code} before it played: ${said}`)));
  });
  return { child, ended, plays, folders: () => readdirSync(temporary) };
}

test.concurrent.each([
  { words: ['demo', '--port', '0', '--host', '127.0.0.1'], saying: 'Planning', signal: 'SIGINT' },
  { words: ['rehearse', plan], saying: 'The panel listens', signal: 'SIGTERM' },
] as const)('$words.0 leaves no folder when it is stopped while it plays', async ({ words, saying, signal }) => {
  const { child, ended, plays, folders } = start([...words], saying);
  await plays;
  expect(folders()).toHaveLength(1);
  child.kill(signal);
  // As npm does, which passes on what the terminal has told everybody already.
  child.kill(signal);
  expect(await ended).toBe(1);
  expect(folders()).toEqual([]);
});
