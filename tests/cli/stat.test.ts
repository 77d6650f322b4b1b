import { PassThrough, Readable } from 'node:stream';
import { expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { statCalls } from '../../stats/index';

async function run(words: string[], input = ''): Promise<{ code: number; out: string; err: string }> {
  const stdout = new PassThrough();
  const stderr = new PassThrough();
  const text = { out: '', err: '' };
  stdout.on('data', (chunk) => {
    text.out += chunk;
  });
  stderr.on('data', (chunk) => {
    text.err += chunk;
  });
  const code = await main(['stat', ...words], { stdin: Readable.from([Buffer.from(input)]), stdout, stderr });
  await new Promise((resolve) => setImmediate(resolve));
  return { code, ...text };
}

/** Exit code 2, one line of JSON on standard error, nothing on standard output. */
async function refusal(words: string[], input = ''): Promise<Record<string, unknown>> {
  const { code, out, err } = await run(words, input);
  expect([code, out]).toEqual([2, '']);
  expect(err.trim().split('\n')).toHaveLength(1);
  const { error } = JSON.parse(err);
  expect(Object.keys(error).sort()).toEqual(['allowed', 'code', 'got', 'message', 'path']);
  return error;
}

test('JSON in, JSON out, in full double precision', async () => {
  const { code, out, err } = await run(['binomial-test'], '{"correct":12,"trials":16,"chance":0.5}');
  expect([code, err]).toEqual([0, '']);
  expect(JSON.parse(out)).toEqual({ p: 0.0384063720703125, midP: 0.0245208740234375, proportion: 0.75 });
  expect(out).toContain('0.0384063720703125');
});

test('--list says every name on a line of its own', async () => {
  const { code, out } = await run(['--list']);
  const names = out
    .trim()
    .split('\n')
    .map((line) => line.split(/\s{2,}/)[0]);
  expect([code, names]).toEqual([0, statCalls.map(({ name }) => name)]);
});

test.each(statCalls.map(({ name }) => name))('%s --schema prints a JSON Schema and reads no input', async (name) => {
  const { code, out } = await run([name, '--schema']);
  expect(code).toBe(0);
  expect(JSON.parse(out)).toMatchObject({ $schema: expect.stringContaining('json-schema.org') });
});

test('--batch answers line by line and goes on after an error', async () => {
  const lines = [
    '{"call":"binomial-test","input":{"correct":8,"trials":8}}',
    '{"call":"binomial-test","input":{"correct":9,"trials":8}}',
    '{"call":"binomal-test","input":{}}',
    'not json',
    '{"input":{}}',
    '',
    '{"call":"adjust-p","input":{"p":[0.01,0.04]}}',
    '{"call":"adjust-p"}',
  ];
  const { code, out, err } = await run(['--batch'], lines.join('\n'));
  expect([code, err]).toEqual([0, '']);
  const answers = out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
  expect(answers.map((answer) => answer.output ?? [answer.error.code, answer.error.path])).toEqual([
    { p: 0.00390625, midP: 0.001953125, proportion: 1 },
    ['out-of-range', 'correct'],
    ['unknown-call', 'call'],
    ['not-json', ''],
    ['missing', 'call'],
    { p: [0.02, 0.04] },
    ['missing', ''],
  ]);
});

test('bad input names the field, what is allowed and what came', async () => {
  expect(await refusal(['binomial-test'], '{"correct":17,"trials":16}')).toMatchObject({
    code: 'out-of-range',
    path: 'correct',
    allowed: 'a whole number from 0 to 16',
    got: '17',
  });
  const misspelt = await refusal(['binomial-test'], '{"correct":1,"trials":2,"chanse":0.5}');
  expect(misspelt).toMatchObject({ code: 'unknown-option', path: 'chanse' });
  expect(misspelt.message).toContain('did you mean chance');
  const nested = { items: ['A', 'B'], comparisons: [{ first: 'A', second: 'C', firstWins: 1, secondWins: 1 }] };
  expect(await refusal(['bradley-terry'], JSON.stringify(nested))).toMatchObject({ path: 'comparisons.0.second' });
});

test('data that separate are an error of their own, which names the items', async () => {
  const input = { items: ['A', 'B'], comparisons: [{ first: 'A', second: 'B', firstWins: 3, secondWins: 0 }] };
  expect(await refusal(['bradley-terry'], JSON.stringify(input))).toMatchObject({ code: 'separated', got: 'A' });
});

test('no JSON, no name, a wrong name, too much', async () => {
  expect(await refusal(['binomial-test'], '')).toMatchObject({ code: 'not-json', got: 'nothing' });
  expect(await refusal(['binomial-test'], '{"correct":')).toMatchObject({ code: 'not-json' });
  expect(await refusal([])).toMatchObject({ code: 'missing-argument', path: 'NAME' });
  const wrong = await refusal(['binomial-tset'], '{}');
  expect(wrong).toMatchObject({ code: 'unknown-call', path: 'NAME', got: 'binomial-tset' });
  expect(wrong.message).toContain('The nearest is "binomial-test".');
  expect(await refusal(['power', 'power'], '{}')).toMatchObject({ code: 'unexpected-argument' });
  expect(await refusal(['--list', '--batch'])).toMatchObject({ code: 'inconsistent' });
  expect(await refusal(['power', '--schemas'])).toMatchObject({ code: 'unknown-option' });
});

test('a byte order mark before the input is no part of it', async () => {
  const line = '{"call":"binomial-test","input":{"correct":8,"trials":8}}';
  const { code, out } = await run(['--batch'], `\uFEFF${line}\n`);
  expect([code, JSON.parse(out).output.p]).toEqual([0, 1 / 256]);
});
