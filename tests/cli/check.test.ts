import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { checksumOf, recordText } from '../../server/blinding/record';
import { main } from '../../server/cli/main';

import type { StudyRecord } from '../../shared/record';

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

test('a byte that is no UTF-8 does not pass for the sign that stands for such bytes', async () => {
  const file = join(folder, 'record.json');
  const example = JSON.parse(readFileSync('shared/formats/record.example.json', 'utf8')) as StudyRecord;
  const record = { ...example, tool: { ...example.tool, name: 'A tool \ufffd' } };
  const bytes = Buffer.from(recordText({ ...record, sha256: checksumOf(record) }));
  writeFileSync(file, bytes);
  expect((await run('check', file)).stdout).toMatch(/^holds {2}File/);
  const at = bytes.indexOf(Buffer.from('\ufffd'));
  writeFileSync(file, Buffer.concat([bytes.subarray(0, at), Buffer.from([0xff]), bytes.subarray(at + 3)]));
  expect(await run('check', file)).toMatchObject({ code: 1, stdout: expect.stringMatching(/^FAILS {2}File/) });
});
