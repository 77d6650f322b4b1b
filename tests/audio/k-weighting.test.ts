import { expect, test } from 'vitest';
import { type Biquad, KFilter, kWeighting } from '../../server/audio/k-weighting';

/** The response of the sections at a frequency, in dB, by putting e^(iω) for z. */
function response(sections: readonly Biquad[], frequency: number, rate: number): number {
  const turn = (2 * Math.PI * frequency) / rate;
  const power = (polynomial: readonly number[]): number => {
    const re = polynomial.reduce((sum, p, k) => sum + p * Math.cos(k * turn), 0);
    const im = polynomial.reduce((sum, p, k) => sum - p * Math.sin(k * turn), 0);
    return re * re + im * im;
  };
  return sections.reduce((sum, { b0, b1, b2, a1, a2 }) => {
    return sum + 10 * Math.log10(power([b0, b1, b2]) / power([1, a1, a2]));
  }, 0);
}

test('at 48 kHz it is the filter of ITU-R BS.1770-5 (2023), Annex 1, tables 1 and 2', () => {
  expect(kWeighting(48_000)).toEqual([
    {
      b0: 1.53512485958697,
      b1: -2.69169618940638,
      b2: 1.19839281085285,
      a1: -1.69065929318241,
      a2: 0.73248077421585,
    },
    { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 },
  ]);
});

test.each([
  [44_100, 0.002],
  [88_200, 0.008],
  [96_000, 0.008],
  [192_000, 0.01],
  [32_000, 0.012],
  [22_050, 0.035],
  [16_000, 0.07],
  [8000, 0.3],
])('at %i Hz it responds as at 48 kHz, within %f dB', (rate, tolerance) => {
  const there = kWeighting(rate);
  const standard = kWeighting(48_000);
  for (const frequency of [10, 20, 40, 80, 160, 500, 1000, 1700, 2500, 4000, 8000, 12_000, 16_000, 20_000]) {
    if (frequency >= rate / 2) continue;
    const off = response(there, frequency, rate) - response(standard, frequency, 48_000);
    expect(Math.abs(off), `${frequency} Hz: ${off}`).toBeLessThan(tolerance);
  }
});

test('coefficients of 48 kHz at 44.1 kHz would be off: what is derived anew is needed', () => {
  const standard = kWeighting(48_000);
  expect(Math.abs(response(standard, 1500, 44_100) - response(standard, 1500, 48_000))).toBeGreaterThan(0.2);
});

test('the filter does what its coefficients say, from piece to piece', () => {
  const rate = 44_100;
  for (const frequency of [50, 1000, 9000]) {
    const samples = Float32Array.from({ length: 3 * rate }, (_, n) => Math.sin((2 * Math.PI * frequency * n) / rate));
    const filter = new KFilter(rate);
    filter.energy(samples, 0, 1000);
    filter.energy(samples, 1000, rate);
    const power = filter.energy(samples, rate, 3 * rate) / (2 * rate);
    expect(10 * Math.log10(2 * power)).toBeCloseTo(response(kWeighting(rate), frequency, rate), 2);
  }
});

test('long silence after sound leaves nothing behind, not even numbers too small to be fast', () => {
  const filter = new KFilter(48_000);
  filter.energy(new Float32Array(4800).fill(0.5), 0, 4800);
  const silence = new Float32Array(480);
  let last = 1;
  for (let i = 0; i < 2000; i++) last = filter.energy(silence, 0, 480);
  expect(last).toBe(0);
});
