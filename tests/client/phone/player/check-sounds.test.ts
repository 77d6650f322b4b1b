import { expect, test } from 'vitest';
import { drawSides, levelNoise, noiseLevel, sideTone } from '../../../../client/phone/player/check-sounds';

const decibels = (samples: Float32Array): number =>
  10 * Math.log10(samples.reduce((sum, value) => sum + value * value, 0) / samples.length);
const peak = (samples: Float32Array): number => samples.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

/** A random source for this test alone. */
function lehmer(): () => number {
  let state = 20_261;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

test('the tone sounds in one ear and leaves the other silent, soft and without a click', () => {
  for (const side of ['left', 'right'] as const) {
    const { channels } = sideTone(48_000, side);
    const [loud, silent] = side === 'left' ? channels : [channels[1], channels[0]];
    expect(peak(silent)).toBe(0);
    expect(decibels(loud.subarray(9_600, 43_200))).toBeCloseTo(-34, 1);
    const steps = [...loud].slice(1).map((value, at) => Math.abs(value - (loud[at] ?? 0)));
    expect(Math.max(...steps, Math.abs(loud[0] ?? 1))).toBeLessThan(0.0025);
  }
});

test('the level sound starts 30 dB lower, arrives after three seconds, stays, and is the same in both ears', () => {
  const { channels } = levelNoise(8_000, 13, lehmer());
  expect(channels[0]).toBe(channels[1]);
  expect(decibels(channels[0].subarray(24_000))).toBeCloseTo(noiseLevel, 0);
  expect(decibels(channels[0].subarray(0, 800))).toBeLessThan(noiseLevel - 24);
  expect(peak(channels[0])).toBeLessThan(0.5);
});

test('it falls by about 3 dB an octave', () => {
  const { channels } = levelNoise(8_000, 8, lehmer());
  const samples = channels[0].subarray(24_000, 24_000 + 32_768);
  // Power in an octave band by single bins of a Fourier sum, every 8th: pink noise has as much in each octave.
  const octave = (low: number): number => {
    let power = 0;
    let count = 0;
    const bin = 8_000 / samples.length;
    for (let k = Math.ceil(low / bin); k < (2 * low) / bin; k += Math.max(1, Math.round(low / bin / 24))) {
      let re = 0;
      let im = 0;
      samples.forEach((value, at) => {
        re += value * Math.cos((2 * Math.PI * k * at) / samples.length);
        im += value * Math.sin((2 * Math.PI * k * at) / samples.length);
      });
      power += re * re + im * im;
      count += 1;
    }
    return 10 * Math.log10((power / count) * (low / bin));
  };
  const bands = [100, 200, 400, 800].map(octave);
  for (const band of bands) expect(Math.abs(band - (bands[0] ?? 0))).toBeLessThan(4);
});

test('each ear comes first for half of all bytes, and the other one second', () => {
  const drawn = Array.from({ length: 256 }, (_, byte) => drawSides((bytes) => bytes.fill(byte)));
  expect(drawn.filter(({ first }) => first === 'left')).toHaveLength(128);
  for (const { first, second } of drawn) expect([first, second].sort()).toEqual(['left', 'right']);
});
