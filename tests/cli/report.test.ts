import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { aPlan } from '../blinding/a-plan';
import { randomStudy } from '../review/random-study';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-report-command-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...words: string[]) {
  const io = {
    stdin: Readable.from([]),
    stdout: new PassThrough({ highWaterMark: 1 << 24 }),
    stderr: new PassThrough(),
  };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

const file = join(folder, 'record.json');
const { record } = randomStudy(aPlan({ method: 'triangle', trials: 3, audiences: [['home', 4]] }), { seed: 1 });
writeFileSync(file, JSON.stringify(record));

test('to a file or to standard output, the same bytes each time', async () => {
  const out = join(folder, 'report.html');
  expect(await run('report', file, '--out', out)).toEqual({ code: 0, stdout: '', stderr: '' });
  const html = readFileSync(out, 'utf8');
  expect(html.startsWith('<!doctype html>')).toBe(true);
  const again = await run('report', file);
  expect([again.code, again.stdout === html]).toEqual([0, true]);
});

test.each([
  ['no file', [], 'usage', 'RECORD'],
  ['a file that is not there', [join(folder, 'none.json')], 'unreadable', 'RECORD'],
  ['a folder that is not there', [file, '--out', join(folder, 'none', 'report.html')], 'unwritable', 'out'],
])('%s is refused by its field, and nothing is written', async (_what, words, code, path) => {
  const refused = await run('report', ...words);
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
});

test('a study that is sealed has no report', async () => {
  const sealed = join(folder, 'sealed.json');
  writeFileSync(sealed, JSON.stringify({ ...record, ledger: record.ledger.slice(0, -1) }));
  const refused = await run('report', sealed);
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code: 'not-analysable', path: 'RECORD' } });
});

test.each(['report', 'analyse'])(
  '%s: an entry that isn’t as it must be is told by its field, in words',
  async (command) => {
    const odd = join(folder, 'odd.json');
    const [first, ...others] = record.ledger;
    const imported = { ...first, kind: 'imported', body: { file: 3 } };
    writeFileSync(odd, JSON.stringify({ ...record, ledger: [first, imported, ...others] }));
    const refused = await run(command, odd);
    expect(refused).toMatchObject({ code: 2, stdout: '' });
    const { error } = JSON.parse(refused.stderr) as { error: { code: string; message: string } };
    expect(error.code).toBe('not-analysable');
    expect(error.message).toContain('An entry of this record is not as it must be: “file”, expected string');
    expect(error.message).not.toContain('{');
  },
);
