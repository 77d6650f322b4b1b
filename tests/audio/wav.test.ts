import { closeSync, ftruncateSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openSound } from '../../server/audio/decode';
import { usualLimits } from '../../server/audio/sound-limits';
import { decoded, refusal } from './decoded';
import { tune } from './tune';
import { type Coding, wavBytes } from './wav-bytes';

const small = tune(44_100, 0.05);
const plain = wavBytes({ channels: small.channels });
const junk = (name: string, length: number) => ({ name, bytes: Buffer.alloc(length, 7) });

const changed = (bytes: Buffer, change: (copy: Buffer) => void): Buffer => {
  const copy = Buffer.from(bytes);
  change(copy);
  return copy;
};

describe('WAV', () => {
  const codings: Coding[] = ['u8', 's16', 's24', 's32', 'f32', 'f64'];

  it('is read sample by sample over codings, channels, rates and orders of its parts', async () => {
    const chunk = fc.record({
      name: fc.constantFrom('LIST', 'bext', 'fact', 'JUNK', 'id3 ', 'PEAK'),
      bytes: fc.uint8Array({ maxLength: 9 }).map((bytes) => Buffer.from(bytes)),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.record({
          coding: fc.constantFrom(...codings),
          rate: fc.integer({ min: 8000, max: 192_000 }),
          extensible: fc.boolean(),
          large: fc.boolean(),
          before: fc.array(chunk, { maxLength: 3 }),
          after: fc.array(chunk, { maxLength: 3 }),
          // On the grid of 8 bits, so that every coding can hold it.
          frames: fc.array(fc.tuple(fc.integer({ min: -128, max: 127 }), fc.integer({ min: -128, max: 127 })), {
            minLength: 1,
            maxLength: 40,
          }),
          mono: fc.boolean(),
        }),
        async ({ frames, mono, ...recipe }) => {
          const channels = (mono ? [0] : [0, 1]).map((side) => frames.map((frame) => (frame[side] as number) / 128));
          const sound = await decoded(wavBytes({ ...recipe, channels }), { silence: 'taken' });
          expect(sound.format).toBe('wav');
          expect(sound.rate).toBe(recipe.rate);
          expect(sound.declared).toBe(frames.length);
          expect(sound.channels.map((channel) => [...channel])).toEqual(channels);
        },
      ),
      { numRuns: 150 },
    );
  });

  it.each([
    ['u8', 8],
    ['s16', 16],
    ['s24', 24],
    ['s32', 24],
  ] as const)('has full scale where it belongs in %s', async (coding, depth) => {
    const top = 1 - 2 ** (1 - depth);
    const sound = await decoded(wavBytes({ coding, channels: [[-1, 0, top, 2 ** (1 - depth), -(2 ** (1 - depth))]] }));
    expect([...(sound.channels[0] ?? [])]).toEqual([-1, 0, top, 2 ** (1 - depth), -(2 ** (1 - depth))]);
  });

  it('is read over many pieces', async () => {
    const long = tune(48_000, 1.2);
    const sound = await decoded(wavBytes({ rate: 48_000, channels: long.channels }));
    expect(sound.channels).toEqual(long.channels);
  });

  const six = Array.from(
    { length: 6 },
    (_, channel) => small.channels[0]?.map((v) => v / (channel + 1)) as Float32Array,
  );

  it('has up to as many channels as are allowed', async () => {
    const bytes = wavBytes({ channels: six });
    expect((await refusal(bytes))[1]).toBe('This file has 6 channels. Export it as stereo or mono.');
    expect((await decoded(bytes, { channels: 6 })).channels).toHaveLength(6);
  });

  const silence = new Float32Array(500);
  const broken: [string, Buffer, string, RegExp][] = [
    ['an empty file', Buffer.alloc(0), 'empty', /is empty/],
    ['a file with no samples', wavBytes({ channels: [[]] }), 'empty', /no sound in it/],
    ['samples that were cut off', plain.subarray(0, 3000), 'truncated', /8864 bytes, and there are 3000/],
    ['a header that was cut off', plain.subarray(0, 30), 'truncated', /there are 30/],
    [
      'a length that was never filled in',
      changed(plain, (b) => b.writeUInt32LE(0xffffffff, 40)),
      'truncated',
      /4294967295 bytes of samples/,
    ],
    [
      'half a sample at the end',
      changed(plain.subarray(0, -1), (b) => {
        b.writeUInt32LE(b.length - 8, 4);
        b.writeUInt32LE(b.length - 44, 40);
      }),
      'truncated',
      /midst of a sample/,
    ],
    ['0 channels', changed(plain, (b) => b.writeUInt16LE(0, 22)), 'no-channels', /0 channels/],
    ['8 channels', wavBytes({ channels: [...six, ...six.slice(4)] }), 'too-many-channels', /8 channels. Export it as/],
    ['a rate too low', wavBytes({ rate: 7999, channels: small.channels }), 'rate', /7999/],
    ['a rate too high', wavBytes({ rate: 192_001, channels: small.channels }), 'rate', /192001/],
    ['NaN', wavBytes({ coding: 'f32', channels: [[0.1, 0.2, Number.NaN]] }), 'not-numbers', /NaN.*0\.000 s.*channel 1/],
    ['infinity', wavBytes({ coding: 'f64', channels: [[0.1], [-Infinity]] }), 'not-numbers', /channel 2/],
    ['a double that is too large', wavBytes({ coding: 'f64', channels: [[1e300]] }), 'not-numbers', /NaN or infinite/],
    ['samples never scaled', wavBytes({ coding: 'f32', channels: [[0, 32_767]] }), 'not-numbers', /3\.28e\+4 times/],
    ['silence', wavBytes({ channels: [silence] }), 'silent', /−80 dBFS/],
    [
      'two headers',
      wavBytes({ channels: small.channels, before: [{ name: 'fmt ', bytes: plain.subarray(20, 36) }] }),
      'broken',
      /two headers/,
    ],
    [
      'samples before the header',
      wavBytes({ channels: small.channels, before: [junk('data', 8)] }),
      'broken',
      /before its header/,
    ],
    [
      'samples in two parts',
      wavBytes({ channels: small.channels, after: [junk('data', 8)] }),
      'unsupported',
      /two parts/,
    ],
    ['a header at odds with itself', changed(plain, (b) => b.writeUInt16LE(24, 34)), 'broken', /contradicts itself/],
    [
      'a rate at odds with its bytes a second',
      changed(plain, (b) => b.writeUInt32LE(48_000, 24)),
      'broken',
      /contradicts itself/,
    ],
    ['a coding that is compressed', changed(plain, (b) => b.writeUInt16LE(2, 20)), 'unsupported', /compressed coding/],
    ['bits of no known kind', changed(plain, (b) => b.writeUInt16LE(12, 34)), 'unsupported', /12 bits/],
    ['junk after the end', Buffer.concat([plain, Buffer.from('junk in the trunk')]), 'trailing', /at byte 8864/],
    [
      'parts that don’t fit',
      wavBytes({ channels: small.channels, after: [junk('\x01\x02\x03\x04', 4)] }),
      'trailing',
      /at byte/,
    ],
    ['its bytes turned round', changed(plain, (b) => b.write('RIFX')), 'unsupported', /RIFX/],
    ['RF64 without its sizes', changed(plain, (b) => b.write('RF64')), 'broken', /4 GB/],
  ];
  it.each(broken)('is refused with %s', async (_, bytes, code, words) => {
    const [got, message] = await refusal(bytes);
    expect(got).toBe(code);
    expect(message).toMatch(words);
    // What is wrong, and what to do.
    expect(message).toMatch(/(Export|Copy|Listen|Find|Cut) /);
  });

  it('of more than 20 minutes is refused by its header, before anything is decoded', async () => {
    // Two hours at a byte a sample, of which nothing is read but the header: the file is a hole.
    const path = join(tmpdir(), `fair-hearing-hole-${process.pid}`);
    const bytes = 8000 * 7200;
    const head = wavBytes({ rate: 8000, coding: 'u8', channels: [[0]] }).subarray(0, 44);
    head.writeUInt32LE(36 + bytes, 4);
    head.writeUInt32LE(bytes, 40);
    const handle = openSync(path, 'w');
    writeSync(handle, head);
    ftruncateSync(handle, 44 + bytes);
    closeSync(handle);
    await expect(openSound(path)).rejects.toMatchObject({
      code: 'too-long',
      message: 'This file is 120 minutes long; at most 20 minutes are taken. Cut it to the part that is played.',
    });
    await expect(openSound(path, { ...usualLimits, bytes: 1e6 })).rejects.toMatchObject({ code: 'too-large' });
    rmSync(path);
  });
});

describe('what is no sound', () => {
  const padded = (start: Buffer | string) =>
    Buffer.concat([Buffer.from(start as string, 'latin1'), Buffer.alloc(4000, 3)]);
  it.each([
    ['text', Buffer.from('Dear listener, here are the notes of Tuesday.\n'.repeat(20)), 'not-sound', /is text/],
    ['a page', Buffer.from('<!doctype html><title>Sound</title>'.repeat(20)), 'not-sound', /is text/],
    ['a video', padded('\0\0\0\x20ftypisom'), 'not-sound', /MP4/],
    ['a film', padded('RIFF\x20\x10\0\0AVI LIST'), 'not-sound', /AVI/],
    ['a film from the web', padded('\x1aE\xdf\xa3'), 'not-sound', /Matroska/],
    ['AIFF', padded('FORM\0\0\x10\0AIFF'), 'unsupported', /AIFF/],
    ['AAC', padded('\xff\xf1\x50\x80'), 'unsupported', /AAC/],
    ['a picture', padded('\x89PNG\r\n\x1a\n'), 'not-sound', /no sound/],
    ['zeros', Buffer.alloc(5000), 'not-sound', /no sound/],
    ['one byte', Buffer.from([0xff]), 'not-sound', /no sound|text/],
  ])('is refused: %s', async (_, bytes, code, words) => {
    const [got, message] = await refusal(bytes);
    expect(got).toBe(code);
    expect(message).toMatch(words);
    expect(message).toContain('Export it as WAV, FLAC, MP3 or Ogg.');
  });
});
