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

test('plays a plan from standard input, analyse reads what comes out, and what could not be played is said', async () => {
  // One sitting fits into the span as often as the plan asks; of three who share a unit, the first is kept too long.
  const firstImpression = { windowSeconds: 5, answerSeconds: 5, reset: { kind: 'silence' as const, seconds: 60 } };
  const wish = { method: 'first-impressions' as const, audiences: [['home', 3]] as [string, number][], sessions: 2 };
  const plan = aPlan({ ...wish, spanDays: 6 / 60 / 24, firstImpression });
  const quick = { ...plan, timing: { listen: 5, swap: 5, fit: 5, answer: 5 } };
  const played = await run(['-', '--truth', 'plain'], JSON.stringify(quick));
  expect([played.code, played.stderr]).toEqual([
    0,
    '2 of 12 planned answers could not be played: the span from first to last sitting was over before those listeners could come again. Allow more days.\n',
  ]);
  expect(recordSchema.parse(JSON.parse(played.stdout)).ledger.at(-1)?.kind).toBe('unsealed');
  const record = file('record.json', played.stdout);
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  expect(await main(['analyse', record], io)).toBe(0);
  const found = JSON.parse(String(io.stdout.read())) as Findings;
  expect(found.flow.trials.answered).toBe(10);
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
