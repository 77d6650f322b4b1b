import { expect, test } from 'vitest';
import { aWeightedLevel, aWeighting } from '../../server/audio/a-weighting';
import type { Pcm } from '../../server/audio/pcm';
import { noise, sine } from './programme';

// IEC 61672-1:2013, table 3 (from memory): nominal frequency by number of the third of an octave, and A-weighting in dB.
// Exact frequencies are 1000 · 10^(n/10) Hz.
const table: [number, number, number][] = [
  [-20, 10, -70.4],
  [-19, 12.5, -63.4],
  [-18, 16, -56.7],
  [-17, 20, -50.5],
  [-16, 25, -44.7],
  [-15, 31.5, -39.4],
  [-14, 40, -34.6],
  [-13, 50, -30.2],
  [-12, 63, -26.2],
  [-11, 80, -22.5],
  [-10, 100, -19.1],
  [-9, 125, -16.1],
  [-8, 160, -13.4],
  [-7, 200, -10.9],
  [-6, 250, -8.6],
  [-5, 315, -6.6],
  [-4, 400, -4.8],
  [-3, 500, -3.2],
  [-2, 630, -1.9],
  [-1, 800, -0.8],
  [0, 1000, 0],
  [1, 1250, 0.6],
  [2, 1600, 1.0],
  [3, 2000, 1.2],
  [4, 2500, 1.3],
  [5, 3150, 1.2],
  [6, 4000, 1.0],
  [7, 5000, 0.5],
  [8, 6300, -0.1],
  [9, 8000, -1.1],
  [10, 10000, -2.5],
  [11, 12500, -4.3],
  [12, 16000, -6.6],
  [13, 20000, -9.3],
];

test.each(table)('third of an octave %i, %f Hz: %f dB', (number, nominal, expected) => {
  const exact = 1000 * 10 ** (number / 10);
  expect(Math.abs(exact / nominal - 1)).toBeLessThan(0.02);
  // Printed to a tenth; 0.01 more for the rounding of what is printed exactly between two.
  expect(Math.abs(aWeighting(exact) - expected)).toBeLessThanOrEqual(0.06);
});

test.each([44100, 48000, 96000])('tones at %i Hz read by the table, whatever the rate', (rate) => {
  for (const [number, , expected] of table.filter(([n]) => [-15, -10, -5, 0, 4, 10, 12].includes(n))) {
    const tone = sine(1000 * 10 ** (number / 10), 1, 2, rate, 1).channels[0] as Float32Array;
    // Faded in and out, since a tone that is cut clicks, and a click weighs more than a low tone.
    const faded = tone.map((x, i) => x * Math.sin((Math.PI * i) / tone.length) ** 2);
    const level = aWeightedLevel({ rate, channels: [faded] }) as number;
    // A sine has half the power of a square wave, and the square of the fade is 3/8 on average.
    expect(Math.abs(level - (expected + 10 * Math.log10(3 / 16))), `${number}`).toBeLessThan(0.07);
  }
});

test('the louder channel counts, all samples count once, and silence has no level', () => {
  const [loud, soft] = [sine(1000, 0.5, 1).channels[0], sine(1000, 0.05, 1).channels[0]] as [
    Float32Array,
    Float32Array,
  ];
  const of = (...channels: Float32Array[]) => aWeightedLevel({ rate: 48000, channels });
  expect(of(loud, soft)).toBe(of(loud));
  expect(of(soft, loud)).toBe(of(loud));
  // A second of tone and a second of nothing: half the power.
  const half = new Float32Array(96000);
  half.set(loud);
  expect((of(loud) as number) - (of(half) as number)).toBeCloseTo(3.01, 1);
  expect(of(new Float32Array(48000))).toBe(null);
  expect(of()).toBe(null);
  const empty: Pcm = { rate: 48000, channels: [new Float32Array(0)] };
  expect(aWeightedLevel(empty)).toBe(null);
});

test('wherever a sound begins, and doubled, it reads the same', () => {
  const piece = noise(1, 20_000);
  const level = (before: number, times: number) => {
    const longer = new Float32Array(before + piece.length * times);
    for (let i = 0; i < times; i++) longer.set(piece, before + i * piece.length);
    return (
      (aWeightedLevel({ rate: 48000, channels: [longer] }) as number) +
      10 * Math.log10(longer.length / (piece.length * times))
    );
  };
  const once = level(0, 1);
  for (const before of [1, 777, 12_288, 30_000]) expect(level(before, 1)).toBeCloseTo(once, 1);
  expect(level(0, 5)).toBeCloseTo(once, 1);
});
