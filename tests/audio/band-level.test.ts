import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bandLevel } from '../../server/audio/loudness';
import { noise } from './programme';
import { sineWave, tapered } from './signals';

const rate = 48_000;
const stereo = (samples: Float32Array) => ({ rate, channels: [samples, samples] });

test('a sine at full scale in both channels is 0 dBFS in its band, and next to nothing elsewhere', () => {
  for (const frequency of [100, 1000, 7000]) {
    const pcm = stereo(tapered(sineWave(rate, 2, frequency), rate));
    expect(bandLevel(pcm, frequency * 0.7, frequency * 1.4)).toBeCloseTo(0, 1);
    expect(bandLevel(pcm, frequency * 2, frequency * 3) as number).toBeLessThan(-50);
  }
});

test('powers of channels add up, and one channel is played twice', () => {
  const sine = sineWave(rate, 1, 1000, -10);
  const half = { rate, channels: [sine, new Float32Array(sine.length)] };
  expect(bandLevel(half, 500, 2000)).toBeCloseTo(-10 + 10 * Math.log10(0.5), 2);
  expect(bandLevel({ rate, channels: [sine] }, 500, 2000)).toBeCloseTo(-10, 2);
  const turned = { rate, channels: [sine, sine.map((sample) => -sample)] };
  expect(bandLevel(turned, 500, 2000)).toBeCloseTo(-10, 2);
});

test('all bands together are the whole, by Parseval, however short and wherever they are cut', () => {
  const numbers = fc.record({
    seed: fc.integer({ min: 1, max: 1000 }),
    frames: fc.integer({ min: 1, max: 40_000 }),
    cut: fc.double({ min: 1, max: 23_999, noNaN: true }),
  });
  fc.assert(
    fc.property(numbers, ({ seed, frames, cut }) => {
      const samples = noise(seed, frames);
      const power = (low: number, high: number) => 10 ** ((bandLevel(stereo(samples), low, high) ?? -999) / 10);
      const whole = (2 * samples.reduce((sum, sample) => sum + sample * sample, 0)) / frames;
      expect((power(0, cut) + power(cut, 24_000)) / whole).toBeCloseTo(1, 9);
    }),
    { numRuns: 25 },
  );
});

test('white noise has in a band what its width gives it', () => {
  const pcm = stereo(noise(5, 8 * rate));
  const whole = bandLevel(pcm, 0, 24_000) as number;
  expect((bandLevel(pcm, 1000, 5000) as number) - whole).toBeCloseTo(10 * Math.log10(4000 / 24_000), 0);
});

test('a tenth of a decibel more is a tenth more; silence has no level', () => {
  const samples = noise(6, rate);
  const louder = samples.map((sample) => sample * 10 ** 0.005);
  const difference =
    (bandLevel(stereo(louder), 300, 3000) as number) - (bandLevel(stereo(samples), 300, 3000) as number);
  expect(difference).toBeCloseTo(0.1, 5);
  expect(bandLevel(stereo(new Float32Array(1000)), 300, 3000)).toBeNull();
  expect(bandLevel(stereo(new Float32Array(0)), 300, 3000)).toBeNull();
});

test.each([
  [-1, 100],
  [100, 100],
  [200, 100],
  [100, 24_001],
  [Number.NaN, 100],
])('a band from %f to %f Hz is refused', (low, high) => {
  expect(() => bandLevel(stereo(new Float32Array(10)), low, high)).toThrow('between 0 and 24000 Hz');
});
