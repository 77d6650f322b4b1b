import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { lead, passphrase, plan, prototypes } from '../../server/demo/cast';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { serve } from '../../server/main';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-demo-test-'));
const record = join(folder, 'record.json');
const data = join(folder, 'data');
let made: Awaited<ReturnType<typeof run>>;

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

beforeAll(async () => {
  made = await run('demo', '--record', record, '--data', data);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('writes the record of the invented study and ends', () => {
  expect(made).toEqual({ code: 0, stdout: '', stderr: '' });
  const { ledger } = recordSchema.parse(JSON.parse(readFileSync(record, 'utf8')));
  expect(ledger.at(-1)?.kind).toBe('unsealed');
  expect(plan.title).toContain('invented');
  expect(plan.question).toContain('invented');
});

test('analyse finds the same in the record twice, to the byte, and the same as the server', async () => {
  const first = await run('analyse', record);
  expect(first).toMatchObject({ code: 0, stderr: '' });
  expect((await run('analyse', record)).stdout).toBe(first.stdout);

  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const running = await serve({ port: 0, host: '127.0.0.1', data }, io);
  try {
    const visitor = new StaffBrowser(running.place.here, { name: 'visitor' });
    await visitor.signIn(lead);
    const study = (await visitor.open('/')).page.find('a[href$="/review"]')?.getAttribute('href') ?? '';
    const path = study.replace(/\/review$/, '');
    expect(await visitor.download(path, 'findings.json')).toBe(first.stdout);
    // Left for the visitor to sign, with the name and password that the demo prints.
    const verdict = await visitor.open(`${path}/review`);
    expect(verdict.page.find('form[action$="/review/sign"]')).not.toBeNull();
    const fields = { decision: 'sign', meaning: 'reviewed', reason: '', password: lead.password } as const;
    expect((await visitor.decide(path, fields)).page.text('main')).toContain('I have reviewed it');
  } finally {
    await running.close();
  }
});

test('what went otherwise than planned is counted, and each audience has its own verdict', async () => {
  const findings = JSON.parse((await run('analyse', record)).stdout) as Findings;
  const { listeners, trials } = findings.flow;
  expect(listeners).toMatchObject({ planned: 16, joined: 16, seated: 16, finished: 15 });
  expect(findings.flow.voidReasons).toEqual({ 'wrong-sample': 1 });
  expect(trials.planned).toBe(48);
  expect(trials.lost).toBeGreaterThanOrEqual(1);
  expect(trials.planned + trials.again).toBe(trials.answered + trials.void + trials.lost);
  expect(findings.blind).toMatchObject({ handling: 'two-person', singleBlind: false });
  expect(findings.incidents).toHaveLength(1);
  expect(findings.exploratory.words.length).toBeGreaterThan(0);
  expect(findings.units).toHaveLength(4);
  for (const { heard } of findings.units) expect(heard).toBeGreaterThan(0);
  const preferred = findings.results.map(({ audienceName, verdict, sentence }) => [audienceName, verdict, sentence]);
  const [asSold = '', wideVent = ''] = prototypes;
  expect(preferred).toEqual([
    ['Stage', 'preferred', expect.stringContaining(`${asSold} is preferred to ${wideVent}`)],
    ['Home', 'preferred', expect.stringContaining(`${wideVent} is preferred to ${asSold}`)],
  ]);
});

test.each([
  ['a folder that has data', () => ['--data', data], 'data-in-use', '--data'],
  [
    'a record in a folder that is not there',
    () => ['--record', join(folder, 'no', 'record.json')],
    'unwritable',
    '--record',
  ],
  ['a record where a folder is', () => ['--record', folder], 'unwritable', '--record'],
  ['a port that is none', () => ['--port', 'http'], 'out-of-range', '--port'],
  ['an argument', () => ['now'], 'unexpected-argument', ''],
])('refuses %s before it plays anything', async (_what, words, code, path) => {
  const before = existsSync(record) ? readFileSync(record, 'utf8') : '';
  const refused = await run('demo', ...words());
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
  expect(readFileSync(record, 'utf8')).toBe(before);
});

test('serves the study, says that all is invented and how to get in, and leaves nothing behind', async () => {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  let said = '';
  const summary = new Promise<void>((resolve) => {
    io.stdout.on('data', (text: Buffer) => {
      said += text.toString();
      if (said.includes('Passphrase')) resolve();
    });
  });
  const ended = main(['demo', '--port', '0', '--host', '127.0.0.1'], io);
  await Promise.race([summary, ended]);
  expect(said).toMatch(/invented/);
  const shown = (label: string) => new RegExp(`${label} +(.+?)(?: {3}.*)?\n`).exec(said)?.[1] ?? '';
  const visitor = new StaffBrowser(new URL(shown('Open')).origin, { name: 'visitor' });
  await visitor.signIn({ name: shown('Name'), password: shown('Password') });
  const { page } = await visitor.open(new URL(shown('Open')).pathname);
  expect(page.text('main')).toContain(plan.question);
  expect(page.find('form[action$="/review/sign"]')).not.toBeNull();
  expect(shown('Passphrase')).toBe(passphrase);
  const temporary = shown('Data in');
  expect(existsSync(temporary)).toBe(true);
  process.emit('SIGTERM');
  expect(await ended).toBe(0);
  expect(existsSync(temporary)).toBe(false);
});
