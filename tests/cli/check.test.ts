import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';

/** Whole records are checked in tests/cli/demo.test.ts and tests/blinding/check.test.ts; here is what is no record. */

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-check-test-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

test.each([
  ['no file', [], 'usage'],
  ['two files', ['a.json', 'b.json'], 'usage'],
  ['a file that is not there', [join(folder, 'none.json')], 'unreadable'],
  ['a folder', [folder], 'unreadable'],
])('%s is refused by its field', async (_what, words, code) => {
  const refused = await run('check', ...words);
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path: 'RECORD' } });
});

test.each([
  ['nothing', ''],
  ['something else', '{"format": "other"}\n'],
  ['a list', '[]'],
  ['no ledger', '{"format": "fair-hearing/record", "version": 1, "ledger": []}'],
])('%s does not hold, and the file is named', async (_what, text) => {
  const file = join(folder, 'record.json');
  writeFileSync(file, text);
  const { code, stdout } = await run('check', file);
  expect(code).toBe(1);
  expect(stdout).toMatch(/^FAILS {2}File/);
  expect(stdout).toContain('This record does not hold: 1 of 1 lines fail.');
});
