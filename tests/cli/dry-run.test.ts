import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { dryRunSchema } from '../../shared/dry-run';
import { aPlan } from '../blinding/a-plan';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-dry-run-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function run(words: string[], stdin = '') {
  const io = { stdin: Readable.from([stdin]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(['dry-run', ...words], io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}
const file = (name: string, what: unknown) => {
  writeFileSync(join(folder, name), typeof what === 'string' ? what : JSON.stringify(what));
  return join(folder, name);
};
const plan = aPlan({ method: 'abx', trials: 4, audiences: [['home', 4]] });
const enough = ['--panels', '40', '--seed', '3'];

test('plays a plan from standard input with a truth from a file; the same seed is the same bytes, but for the seconds', async () => {
  const truth = file('truth.json', { listenersWhoHear: 1, heard: 0.9, gamma: 0.2 });
  const words = ['-', ...enough, '--truth', truth];
  const [one, two] = [
    await run([...words, '--threads', '1'], JSON.stringify(plan)),
    await run([...words, '--threads', '2'], JSON.stringify(plan)),
  ];
  expect([one.code, one.stderr]).toEqual([0, '']);
  const found = dryRunSchema.parse(JSON.parse(one.stdout));
  expect(found).toMatchObject({
    panels: 40,
    seed: 3,
    method: 'abx',
    unused: ['gamma'],
    falseAlarms: null,
    trueValue: 0.9,
  });
  expect(found.power).toBeGreaterThan(0.8);
  const timeless = (text: string) => text.replace(/"seconds": [\d.]+/, '');
  expect(timeless(two.stdout)).toBe(timeless(one.stdout));
});

test('without a truth there is nothing to hear; one of three words stands for a truth', async () => {
  const words = [file('plan.json', plan), ...enough];
  const [nothing, plain] = [await run(words), await run([...words, '--truth', 'plain'])];
  expect(dryRunSchema.parse(JSON.parse(nothing.stdout))).toMatchObject({ truth: {}, power: null });
  expect(dryRunSchema.parse(JSON.parse(plain.stdout))).toMatchObject({ truth: { listenersWhoHear: 1, heard: 0.9 } });
});

const good = () => file('good.json', plan);
test.each<[string, () => string[], string, string]>([
  ['no plan', () => enough, 'missing-argument', 'PLAN'],
  ['no number of panels', () => [good(), '--seed', '1'], 'missing-option', '--panels'],
  ['no seed', () => [good(), '--panels', '10'], 'missing-option', '--seed'],
  ['no panels at all', () => [good(), '--panels', '0', '--seed', '1'], 'out-of-range', '--panels'],
  ['half a panel', () => [good(), '--panels', '10.5', '--seed', '1'], 'out-of-range', '--panels'],
  ['a seed below zero', () => [good(), '--panels', '10', '--seed=-1'], 'out-of-range', '--seed'],
  ['no threads', () => [good(), ...enough, '--threads', '0'], 'out-of-range', '--threads'],
  ['a file that is not there', () => [join(folder, 'none.json'), ...enough], 'unreadable', 'PLAN'],
  ['JSON that is no plan', () => [file('null.json', 'null'), ...enough], 'not-a-plan', 'PLAN'],
  ['a list for a truth', () => [good(), ...enough, '--truth', file('t0.json', [])], 'not-a-truth', '--truth'],
  ['what is no JSON', () => [file('broken.json', '{'), ...enough], 'not-json', 'PLAN'],
  [
    'a plan that is not whole',
    () => [file('one.json', { ...plan, prototypes: [] }), ...enough],
    'too-few',
    'prototypes',
  ],
  ['a truth that is not there', () => [good(), ...enough, '--truth', 'plane'], 'unreadable', '--truth'],
  [
    'a truth with a field that is none',
    () => [good(), ...enough, '--truth', file('t1.json', { dprime: 1 })],
    'unknown-field',
    'dprime',
  ],
  [
    'a truth beyond its limits',
    () => [good(), ...enough, '--truth', file('t2.json', { dropOut: 2 })],
    'too-large',
    'dropOut',
  ],
  [
    'a truth about others',
    () => [good(), ...enough, '--truth', file('t3.json', { worth: { heron: 1 } })],
    'not-in-plan',
    'worth.heron',
  ],
  ['an option that is none', () => [good(), ...enough, '--panel', '3'], 'unknown-option', '--panel'],
])('refuses %s, and writes nothing', async (_, words, code, path) => {
  const refused = await run(words());
  expect([refused.code, refused.stdout]).toEqual([2, '']);
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
});
