import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { halfPlayed } from '../../server/cli/half-played';
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
  const temporary = mkdtempSync(join(folder, `${words[0]}-`));
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
  { words: ['demo', '--port', '0', '--host', '127.0.0.1'], saying: 'Planning', signal: 'SIGINT', again: true },
  { words: ['rehearse', plan], saying: 'The panel listens', signal: 'SIGTERM', again: true },
  // A terminal that is closed; by now listeners have their phones in hand.
  { words: ['rehearse', plan], saying: '"answers":1,', signal: 'SIGHUP', again: false },
] as const)('$words.0 leaves no folder when it is stopped by $signal', async ({ words, saying, signal, again }) => {
  const { child, ended, plays, folders } = start([...words], saying);
  await plays;
  expect(folders()).toHaveLength(1);
  child.kill(signal);
  // As npm does, which passes on what the terminal has told everybody already.
  if (again) child.kill(signal);
  expect(await ended).toBe(1);
  expect(folders()).toEqual([]);
});

test('of a demo that is to be kept and is stopped half way, only what it made itself goes', async () => {
  const [fresh, empty, shared] = ['fresh', 'empty', 'shared'].map((name) => join(folder, name)) as [
    string,
    string,
    string,
  ];
  for (const path of [empty, shared]) mkdirSync(path);
  writeFileSync(join(shared, 'letter.txt'), 'of somebody else');
  const halves = [fresh, empty, shared].map((path) => halfPlayed(path));
  const write = (path: string) => {
    mkdirSync(path, { recursive: true });
    writeFileSync(join(path, 'fair-hearing.sqlite'), 'half');
  };
  // One that has not written anything yet touches nothing, and neither does one that is whole.
  expect(halves.map((half) => half.stopped())).toEqual([null, null, null]);
  for (const path of [fresh, empty, shared]) write(path);
  for (const half of halves) half.begun();
  const [, , left] = halves.map((half) => half.stopped());
  expect([existsSync(fresh), readdirSync(empty), readdirSync(shared)]).toEqual([
    false,
    [],
    ['fair-hearing.sqlite', 'letter.txt'],
  ]);
  expect(left).toContain(`lies in ${shared} beside other files`);
  write(fresh);
  const whole = halfPlayed(fresh);
  whole.begun();
  whole.whole();
  expect([whole.stopped(), readdirSync(fresh)]).toEqual([null, ['fair-hearing.sqlite']]);
});
