import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keystream } from '../../server/audio/dither';
import type { Pcm } from '../../server/audio/pcm';
import { renderWav } from '../../server/audio/render';
import { wav24Header } from '../../server/audio/wav24';
import { noise, sine } from './programme';
import { readWav24 } from './read-wav24';

const key = (byte: number) => keystream(Buffer.alloc(32, byte));
const fullScale = 2 ** 23;

const mean = (values: Float64Array) => values.reduce((sum, x) => sum + x, 0) / values.length;
const product = (a: Float64Array, b: Float64Array, lag = 0) => {
  let sum = 0;
  for (let i = lag; i < a.length; i++) sum += (a[i] ?? 0) * (b[i - lag] ?? 0);
  return sum / (a.length - lag);
};

/** What rounding and dither added, in steps of the last bit. */
function errors(pcm: Pcm, gainDb: number, byte: number): [Float64Array, Float64Array] {
  const { left, right } = readWav24(renderWav(pcm, gainDb, key(byte)));
  const scale = fullScale * 10 ** (gainDb / 20);
  const [first, second = first] = pcm.channels;
  const error = (whole: Int32Array, exact?: Float32Array) =>
    Float64Array.from(whole, (x, i) => x - (exact?.[i] ?? 0) * scale);
  return [error(left, first), error(right, second)];
}

test('the header, byte by byte, for one second at 48 kHz', () => {
  // RIFF, 36 + 288000, WAVE, fmt , 16, PCM, two channels, 48000, 288000 bytes a second, 6 a frame, 24 bits, data, 288000.
  const expected =
    '52494646' +
    '24650400' +
    '57415645' +
    '666d7420' +
    '10000000' +
    '0100' +
    '0200' +
    '80bb0000' +
    '00650400' +
    '0600' +
    '1800' +
    '64617461' +
    '00650400';
  expect(wav24Header(48000, 48000).toString('hex')).toBe(expected);
  expect(() => wav24Header(44100.5, 1)).toThrow('whole number of samples');
  expect(() => wav24Header(48000, 715_827_877)).toThrow('holds 0 to');
});

test('the error has mean 0 and variance 1/4, is white, and hangs neither on the signal nor on the other channel', () => {
  const n = 150_000;
  const signals: [string, Pcm][] = [
    ['silence', { rate: 48000, channels: [new Float32Array(n)] }],
    ['a whole step', { rate: 48000, channels: [new Float32Array(n).fill(1 / fullScale)] }],
    ['half a step', { rate: 48000, channels: [new Float32Array(n).fill(0.5 / fullScale)] }],
    ['noise', { rate: 48000, channels: [noise(1, n), noise(2, n)] }],
    ['a tone of less than a step', sine(997, 0.7 / fullScale, n / 48000)],
  ];
  for (const [index, [name, pcm]] of signals.entries()) {
    const [left, right] = errors(pcm, name === 'noise' ? -3.217 : 0, index);
    // Standard errors are below 0.0013 (mean), 0.0009 (variance), 0.00065 (products): five of them.
    for (const error of [left, right]) {
      expect(Math.abs(mean(error)), name).toBeLessThan(0.0065);
      expect(Math.abs(product(error, error) - 0.25), name).toBeLessThan(0.0045);
      for (const lag of [1, 2, 3, 7, 64]) expect(Math.abs(product(error, error, lag)), name).toBeLessThan(0.0035);
      expect(
        error.every((x) => Math.abs(x) <= 1.5),
        name,
      ).toBe(true);
    }
    expect(Math.abs(product(left, right)), name).toBeLessThan(0.0035);
  }
});

test('two renders of one sound have nothing in common but the sound', () => {
  const pcm = { rate: 48000, channels: [noise(5, 100_000), noise(6, 100_000)] };
  const [one] = errors(pcm, -1, 1);
  const [two] = errors(pcm, -1, 2);
  // Rounding alone would make them the same, and each other's variance of 1/4.
  expect(Math.abs(product(one, two))).toBeLessThan(0.005);
  const files = [1, 2].map((byte) => renderWav(pcm, -1, key(byte)));
  expect(files[0]?.equals(files[1] ?? Buffer.alloc(0))).toBe(false);
  expect(files[0]?.equals(renderWav(pcm, -1, key(1)))).toBe(true);
});

test('one channel is put into both', () => {
  const { left, right } = readWav24(renderWav(sine(440, 0.5, 0.05, 48000, 1), 0, key(1)));
  expect(left.every((x, i) => Math.abs(x - (right[i] ?? 0)) <= 3)).toBe(true);
  expect(left).not.toEqual(right);
});

test('the gain is applied as it is said', () => {
  for (const gain of [0, -0.001, -6.02, -23.456]) {
    const { left } = readWav24(renderWav(sine(1000, 0.5, 0.1), gain, key(1)));
    const rms = Math.sqrt(left.reduce((sum, x) => sum + x * x, 0) / left.length) / fullScale;
    expect(20 * Math.log10(rms / (0.5 * Math.SQRT1_2))).toBeCloseTo(gain, 4);
  }
});

test('of whatever sound and gain: length and header tell rate and frames only', () => {
  const sample = fc.float({ min: -0.5, max: 0.5, noNaN: true });
  fc.assert(
    fc.property(
      fc.constantFrom(8000, 44100, 48000, 96000),
      fc.integer({ min: 0, max: 60 }).chain((frames) => {
        const channel = fc.array(sample, { minLength: frames, maxLength: frames });
        const sound = fc.array(channel, { minLength: 1, maxLength: 2 });
        return fc.tuple(sound, sound, fc.constant(frames));
      }),
      fc.double({ min: -60, max: 5, noNaN: true }),
      (rate, [one, two, frames], gain) => {
        const [a, b] = [one, two].map((channels, i) =>
          renderWav({ rate, channels: channels.map((channel) => Float32Array.from(channel)) }, i ? 0 : gain, key(i)),
        );
        expect(a?.length).toBe(44 + 6 * frames);
        expect(b?.length).toBe(a?.length);
        expect(a?.subarray(0, 44).equals(wav24Header(rate, frames))).toBe(true);
        expect(b?.subarray(0, 44).equals(wav24Header(rate, frames))).toBe(true);
      },
    ),
    { seed: 7, numRuns: 100 },
  );
});

test('nothing is ever clipped or wrapped: the loudest that fits, and what no longer does', () => {
  const of = (...samples: number[]): Pcm => ({ rate: 48000, channels: [Float32Array.from(samples)] });
  const most = (fullScale - 2) / fullScale;
  for (let byte = 0; byte < 50; byte++) {
    const { left, right } = readWav24(renderWav(of(most, -most), 0, key(byte)));
    for (const side of [left, right]) {
      expect(side[0]).toBeGreaterThan(fullScale - 5);
      expect(side[1]).toBeLessThan(5 - fullScale);
    }
  }
  expect(() => renderWav(of(0, 1), 0, key(1))).toThrow('Frame 1 reaches full scale after a gain of 0 dB');
  expect(() => renderWav(of(-0.6), 6, key(1))).toThrow('reaches full scale');
  expect(() => renderWav(of(Number.NaN), 0, key(1))).toThrow('not a number');
  expect(() => renderWav(of(0), Number.NaN, key(1))).toThrow('number of dB');
  expect(() => renderWav({ rate: 48000, channels: [] }, 0, key(1))).toThrow('not 0');
  const three = [0, 1, 2].map(() => new Float32Array(2));
  expect(() => renderWav({ rate: 48000, channels: three }, 0, key(1))).toThrow('not 3');
  expect(() => renderWav({ rate: 48000, channels: [new Float32Array(2), new Float32Array(3)] }, 0, key(1))).toThrow(
    'one length',
  );
});
