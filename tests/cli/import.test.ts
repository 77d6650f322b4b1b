import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { findingsOf } from '../../server/review/findings';
import { recordSchema, type StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';

/** Answers on paper, from the empty table to the record. */

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-import-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const file = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
const plan = file('plan.json', JSON.stringify(aPlan({ prototypes: 2, audiences: [['home', 8]] })));
const good = file(
  'good.csv',
  [
    'listener,trial,presentation_1,presentation_2,answer',
    ...[1, 2, 3, 4, 5, 6, 7, 8].map((i) => `${i},1,Prototype A,Prototype B,Prototype B`),
    '',
  ].join('\r\n'),
);

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(['import', ...words], io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, out: said(io.stdout), err: said(io.stderr) };
}

test('an empty table, filled in, comes out as a record, to a file or to standard output', async () => {
  const { out } = await run('--template', '--plan', plan);
  expect(readFileSync(good, 'utf8').startsWith(out)).toBe(true);
  const record = join(folder, 'record.json');
  expect(await run(good, '--plan', plan, '--record', record)).toEqual({ code: 0, out: '', err: '' });
  const bare = await run(good, '--plan', plan);
  expect(bare.out).toBe(readFileSync(record, 'utf8'));
  const read: StudyRecord = recordSchema.parse(JSON.parse(bare.out));
  expect(findingsOf(read).results[0]).toMatchObject({ verdict: 'preferred' });
  const at = '2026-03-02T09:15:00.000Z';
  const dated = recordSchema.parse(JSON.parse((await run(good, '--plan', plan, '--at', at)).out));
  expect(new Set(dated.ledger.map((entry) => entry.at))).toEqual(new Set([at]));
});

test('the dictionary has every column', async () => {
  const { out } = await run('--dictionary', '--plan', plan);
  expect(out).toContain('listener,yes,');
  expect(out).toContain('answered_at,no,');
});

test('bad input is one line of JSON with every problem, and nothing on standard output', async () => {
  const bad = file(
    'bad.csv',
    'listener,presentation_1,presentation_2,answer\n1,Prototype A,Prototype C,both\n,Prototype A,Prototype B,both\n',
  );
  const { code, out, err } = await run(bad, '--plan', plan);
  expect([code, out]).toEqual([2, '']);
  const { error } = JSON.parse(err) as {
    error: { code: string; path: string; problems: { row: number; column: string }[] };
  };
  expect(error).toMatchObject({ code: 'not-a-choice', path: 'rows.2.presentation_2' });
  expect(error.problems.map(({ row, column }) => [row, column])).toEqual([
    [2, 'presentation_2'],
    [3, 'listener'],
    [3, 'answer'],
  ]);
});

test.each<[string, string[], string, string]>([
  ['no plan', [good], 'missing-option', '--plan'],
  ['no answers', ['--plan', plan], 'missing-argument', 'ANSWERS'],
  ['no such file', [join(folder, 'gone.csv'), '--plan', plan], 'unreadable', 'ANSWERS'],
  ['a plan that is none', [good, '--plan', good], 'not-json', '--plan'],
  ['a time that is none', [good, '--plan', plan, '--at', 'soon'], 'bad-format', '--at'],
  [
    'a place that isn’t there',
    [good, '--plan', plan, '--record', join(folder, 'no', 'r.json')],
    'unwritable',
    '--record',
  ],
])('%s', async (_, words, code, path) => {
  const { code: exit, out, err } = await run(...words);
  expect([exit, out]).toEqual([2, '']);
  expect((JSON.parse(err) as { error: object }).error).toMatchObject({ code, path });
});
