import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, expect, test } from 'vitest';
import { main } from '../../server/cli/main';
import { sineWave, stretches } from '../audio/signals';
import { type WavRecipe, wavBytes } from '../audio/wav-bytes';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-loudness-test-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(['loudness', ...words], io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

function file(name: string, recipe: WavRecipe): string {
  const path = join(folder, name);
  writeFileSync(path, wavBytes(recipe));
  return path;
}

const rate = 48_000;
const tone = stretches(rate, [[4, -23]]);
const silence = new Float32Array(tone.length);
const stereo = file('stereo.wav', { rate, coding: 's24', channels: [tone, tone] });
const mono = file('mono.wav', { rate, coding: 'f32', channels: [tone] });
const short = file('short.wav', { rate, channels: [sineWave(rate, 0.2, 1000, -0.5), sineWave(rate, 0.2, 1000, -0.5)] });
const surround = file('surround.wav', {
  rate,
  coding: 's16',
  channels: [silence, silence, silence, tone, silence, tone],
});
const eight = file('eight.wav', { rate, channels: Array(8).fill(tone) });
const silent = file('silent.wav', { rate, channels: [silence, silence] });
const broken = join(folder, 'broken.wav');
writeFileSync(broken, wavBytes({ rate, channels: [tone, tone] }).subarray(0, 50_000));

test('as JSON: every file with its figures, in the order they were named', async () => {
  const { code, stdout, stderr } = await run(stereo, mono, surround, '--json');
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  const rows = JSON.parse(stdout) as Array<Record<string, unknown>>;
  expect(rows.map(({ file }) => file)).toEqual([stereo, mono, surround]);
  expect(Object.keys(rows[0] ?? {})).toEqual([
    'file',
    'sampleRate',
    'channels',
    'seconds',
    'integrated',
    'momentaryMax',
    'shortTermMax',
    'samplePeak',
    'truePeak',
  ]);
  for (const row of rows.slice(0, 2)) {
    expect(row).toMatchObject({ sampleRate: rate, seconds: 4 });
    for (const figure of ['integrated', 'momentaryMax', 'shortTermMax', 'samplePeak', 'truePeak']) {
      expect(row[figure]).toBeCloseTo(-23, 1);
    }
  }
  // 5.1: the effects don't count, and one surround does by 1.41: −23 − 3.01 + 1.49.
  expect(rows[2]?.integrated).toBeCloseTo(-24.52, 1);
  expect(rows.map(({ channels }) => channels)).toEqual([2, 1, 6]);
});

test('where there is no figure stands null, and why', async () => {
  const { code, stdout } = await run(short, silent, '--json');
  expect(code).toBe(0);
  expect(JSON.parse(stdout)).toMatchObject([
    { integrated: null, momentaryMax: null, shortTermMax: null, reason: 'Too short: loudness needs 0.4 s of sound.' },
    { integrated: null, samplePeak: null, truePeak: null, reason: 'Too quiet: all of it is digital silence.' },
  ]);
});

test('for people: a table, and what should be known beside it', async () => {
  const { code, stdout, stderr } = await run(stereo, mono, short);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  const [heads = '', units = '', first = '', , third = ''] = stdout.split('\n');
  expect(heads).toMatch(/^File .*Rate .*Length .*Integrated .*Momentary .*Short-term .*Sample peak .*True peak$/);
  expect(units).toMatch(/Hz .*LUFS .*max LUFS .*max LUFS .*dBFS .*dBTP$/);
  expect(first).toMatch(/stereo\.wav +48000 +2 +0:04\.00( +−2[23]\.\d\d){5}$/);
  expect(third).toMatch(/short\.wav +48000 +2 +0:00\.20 +– +– +– +−0\.50 +−0\.\d\d$/);
  expect(new Set([heads, units, first, third].map((line) => line.length)).size).toBe(1);
  expect(stdout).toContain(`${mono}: one channel, measured as it is played: by both ears.`);
  expect(stdout).toContain(`${short}: its true peak is above −1 dBTP`);
  expect(stdout).toContain(`${short}: Too short: loudness needs 0.4 s of sound.`);
  expect(stdout).not.toContain(`${stereo}:`);
});

test.each([
  ['no file', [], 'missing-argument'],
  ['a file that is not there', [join(folder, 'none.wav')], 'unreadable'],
  ['a folder', [folder], 'unreadable'],
  ['eight channels', [eight], 'too-many-channels'],
  ['a file broken off', [broken], 'truncated'],
  ['a good one and then a broken one', [stereo, broken, '--json'], 'truncated'],
  ['an unknown option', ['--jsno', stereo], 'unknown-option'],
])('%s is refused in one line, and nothing is written', async (_, words, code) => {
  const refused = await run(...words);
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(refused.stderr.trimEnd().split('\n')).toHaveLength(1);
  const { error } = JSON.parse(refused.stderr) as { error: { code: string; message: string } };
  expect(error.code).toBe(code);
  const named = words.at(-1) === '--json' ? words.at(-2) : words.at(-1);
  if (named !== undefined && code !== 'unknown-option') expect(error.message).toContain(named);
});

test('a file with a sample that is no number is refused with its place', async () => {
  const samples = tone.slice();
  samples[4800] = Number.NaN;
  const wrong = file('nan.wav', { rate, coding: 'f32', channels: [tone, samples] });
  const refused = await run(wrong);
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(refused.stderr).toContain('not-numbers');
  expect(refused.stderr).toContain('0.100 s in channel 2');
});
