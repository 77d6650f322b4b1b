import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-rehearse-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function run(words: string[], stdin = '') {
  const io = { stdin: Readable.from([stdin]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(['rehearse', ...words], io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}
const file = (name: string, text: string) => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};

test('plays a plan from standard input, and analyse reads what comes out', async () => {
  const plan = JSON.stringify(aPlan({ method: 'abx', trials: 2, audiences: [['home', 1]] }));
  const played = await run(['-', '--truth', 'plain'], plan);
  expect([played.code, played.stderr]).toEqual([0, '']);
  expect(recordSchema.parse(JSON.parse(played.stdout)).ledger.at(-1)?.kind).toBe('unsealed');
  const record = file('record.json', played.stdout);
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  expect(await main(['analyse', record], io)).toBe(0);
  const found = JSON.parse(String(io.stdout.read())) as Findings;
  expect(found.flow.trials.answered).toBe(2);
});

const small = () => JSON.stringify(aPlan());
const many = () =>
  JSON.stringify(aPlan({ method: 'abx', trials: 40, audiences: [['home', 60]], handling: 'day-code' }));
const oneOnly = () => JSON.stringify({ ...aPlan({ method: 'abx' }), prototypes: aPlan().prototypes.slice(0, 1) });
test.each([
  ['no plan', () => [], 'missing-argument', 'PLAN'],
  ['a file that is not there', () => [join(folder, 'none.json')], 'unreadable', 'PLAN'],
  ['what is no JSON', () => [file('broken.json', '{')], 'not-json', 'PLAN'],
  ['a plan that is not whole', () => [file('one.json', oneOnly())], 'too-few', 'prototypes'],
  ['a truth that is none', () => [file('small.json', small()), '--truth', 'plane'], 'not-a-choice', '--truth'],
  ['what takes too long', () => [file('many.json', many())], 'too-large', 'sessions.count'],
])('refuses %s', async (_, words, code, path) => {
  const refused = await run(words());
  expect([refused.code, refused.stdout]).toEqual([2, '']);
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
});
