import { describe, expect, test } from 'vitest';
import { lowPass, lowPassed } from '../../server/audio/low-pass';
import { planLimits } from '../../shared/plan';
import { sineWave } from './signals';

/**
 * What is measured here are tones that went through, and not what the design formulas promise. The limits for 3.5 kHz are
 * those of ITU-R BS.1534-3 for the low-pass of the low anchor, from memory; for 7 kHz at twice the frequencies.
 */

/** By how many decibels a tone comes out below itself, away from both ends. */
function lossOf(frequency: number, lowPassHz: number, rate: number): number {
  const tone = sineWave(rate, 0.2, frequency, -6);
  const [out = new Float32Array()] = lowPassed({ rate, channels: [tone] }, lowPassHz).channels;
  const power = (samples: Float32Array) =>
    samples.subarray(0.05 * rate, 0.15 * rate).reduce((sum, sample) => sum + sample * sample, 0);
  return 10 * Math.log10(power(tone) / Math.max(power(out), 1e-30));
}

describe.each(planLimits.anchors)('an anchor of %i Hz', (lowPassHz) => {
  test.each([16_000, 44_100, 48_000, 96_000])(
    'at %i samples a second passes up to there and nothing beyond',
    (rate) => {
      for (const share of [0.02, 0.2, 0.5, 0.8, 0.95, 1]) {
        expect(Math.abs(lossOf(share * lowPassHz, lowPassHz, rate)), `${share} of it`).toBeLessThan(0.1);
      }
      const [down, silent] = [4 / 3.5, 4.5 / 3.5];
      if (down * lowPassHz < 0.49 * rate) expect(lossOf(down * lowPassHz, lowPassHz, rate)).toBeGreaterThan(25);
      if (silent * lowPassHz < 0.49 * rate) expect(lossOf(silent * lowPassHz, lowPassHz, rate)).toBeGreaterThan(50);
      for (const frequency of [0.7, 0.8, 0.99].map((share) => (share * rate) / 2)) {
        if (frequency > silent * lowPassHz) expect(lossOf(frequency, lowPassHz, rate)).toBeGreaterThan(50);
      }
    },
  );

  test('is 3 dB down a little above its frequency', () => {
    const at = (share: number) => lossOf(share * lowPassHz, lowPassHz, 48_000);
    let [low, high] = [1, 1.1];
    while (high - low > 1e-4) {
      const middle = (low + high) / 2;
      if (at(middle) < 3.01) low = middle;
      else high = middle;
    }
    expect(low).toBeGreaterThan(1.03);
    expect(low).toBeLessThan(1.07);
  });

  test('comes no later: a tone keeps its phase, and a click its place', () => {
    const rate = 48_000;
    const tone = sineWave(rate, 0.2, 1_000, -6);
    const [out = new Float32Array()] = lowPassed({ rate, channels: [tone] }, lowPassHz).channels;
    expect(out).toHaveLength(tone.length);
    for (let i = 2_000; i < 7_000; i++) expect(Math.abs((out[i] as number) - (tone[i] as number))).toBeLessThan(1e-3);
    const click = new Float32Array(4_001);
    click[2_000] = 1;
    const [rung = new Float32Array()] = lowPassed({ rate, channels: [click] }, lowPassHz).channels;
    expect(rung.indexOf(Math.max(...rung))).toBe(2_000);
    for (let i = 1; i < 2_000; i++) expect(rung[2_000 - i]).toBeCloseTo(rung[2_000 + i] as number, 9);
  });
});

test('the same in each channel, one or two, and the source is left as it was', () => {
  const rate = 16_000;
  const [left, right] = [sineWave(rate, 0.1, 500, -6), sineWave(rate, 0.1, 5_000, -6)];
  const kept = right.slice();
  const { channels } = lowPassed({ rate, channels: [left, right] }, 3_500);
  expect(channels[0]?.[800]).toBeCloseTo(left[800] as number, 3);
  expect(Math.max(...(channels[1] ?? []).slice(400, 1_200).map(Math.abs))).toBeLessThan(1e-3);
  expect(right).toEqual(kept);
  expect(lowPassed({ rate, channels: [left] }, 3_500).channels).toHaveLength(1);
});

test('a rate that can’t hold it is refused, and one that just can is not', () => {
  expect(() => lowPass(7_000, 15_999)).toThrow('needs 16000 samples a second, not 15999');
  expect(() => lowPass(7_000, 14_000)).toThrow(RangeError);
  expect(lowPass(3_500, 8_000).reduce((sum, tap) => sum + tap, 0)).toBeCloseTo(1, 12);
});
