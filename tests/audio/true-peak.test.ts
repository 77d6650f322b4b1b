import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PeakMeter } from '../../server/audio/true-peak';
import { seeded } from './programme';
import { sineWave, tapered } from './signals';

const decibels = (amplitude: number): number => 20 * Math.log10(amplitude);

function read(samples: Float32Array): PeakMeter {
  const meter = new PeakMeter();
  meter.push(samples);
  return meter;
}

/**
 * The highest point of the curve by another way: the samples between lots of zeros, one discrete Fourier transform, and the
 * exact curve of a sound of limited band on a grid of 1/32. Slow and plain.
 */
function exactPeak(samples: Float32Array): number {
  const length = samples.length;
  const bins = Math.floor(length / 2);
  const lines = Array.from({ length: bins + 1 }, (_, bin) => {
    let re = 0;
    let im = 0;
    for (let n = 0; n < length; n++) {
      const turn = (2 * Math.PI * ((bin * n) % length)) / length;
      re += (samples[n] as number) * Math.cos(turn);
      im -= (samples[n] as number) * Math.sin(turn);
    }
    const twice = bin === 0 || 2 * bin === length ? 1 : 2;
    return { bin, re: (twice * re) / length, im: (twice * im) / length };
  }).filter(({ re, im }) => Math.hypot(re, im) > 1e-12);
  let peak = 0;
  for (let step = 0; step < 32 * length; step++) {
    let value = 0;
    for (const { bin, re, im } of lines) {
      const turn = (2 * Math.PI * ((bin * step) % (32 * length))) / (32 * length);
      value += re * Math.cos(turn) - im * Math.sin(turn);
    }
    peak = Math.max(peak, Math.abs(value));
  }
  return peak;
}

describe('the curve through the samples', () => {
  test.each([0.02, 0.1, 0.23, 0.25, 1 / 3, 0.37, 0.4])(
    'a sine of %f of the rate peaks where it should, at any phase',
    (part) => {
      for (let k = 0; k < 8; k++) {
        const sine = tapered(sineWave(48_000, 0.1, part * 48_000, -6, (k * Math.PI) / 8), 48_000);
        const reading = decibels(read(sine).truePeak);
        expect(reading).toBeGreaterThan(-6.05);
        expect(reading).toBeLessThan(-5.95);
      }
    },
  );

  test('is that of a sound of limited band, whatever the sound', () => {
    for (let seed = 1; seed <= 6; seed++) {
      // Tones at random below 0.4 of the rate, all of them whole periods long; faded, so that there is nothing outside.
      const next = seeded(seed);
      const length = 240;
      const tones = Array.from({ length: 6 }, () => [Math.floor(next() * 0.38 * length), next() * 7, next()] as const);
      const samples = Float32Array.from({ length }, (_, n) => {
        const fade = Math.sin((Math.PI * n) / length) ** 2;
        const sum = tones.reduce((total, [bin, phase, level]) => {
          return total + level * Math.sin((2 * Math.PI * bin * n) / length + phase);
        }, 0);
        return 0.2 * fade * sum;
      });
      expect(Math.abs(decibels(read(samples).truePeak / exactPeak(samples)))).toBeLessThan(0.06);
    }
  });

  test('passing over most of the grid loses nothing: the whole grid computed gives the same', () => {
    const kinds = fc.constantFrom('noise', 'tone', 'beats', 'steps');
    const numbers = fc.record({
      kind: kinds,
      seed: fc.integer({ min: 1, max: 1e6 }),
      length: fc.integer({ min: 1, max: 400 }),
      first: fc.double({ min: 0.001, max: Math.PI, noNaN: true }),
      second: fc.double({ min: 0.001, max: Math.PI, noNaN: true }),
    });
    fc.assert(
      fc.property(numbers, ({ kind, seed, length, first, second }) => {
        const next = seeded(seed);
        const samples = Float32Array.from({ length }, (_, n) => {
          if (kind === 'noise') return next() - 0.5;
          if (kind === 'steps') return next() < 0.5 ? -0.7 : 0.7;
          return Math.sin(first * n + seed) * (kind === 'beats' ? Math.sin(second * n) : 1);
        });
        const whole = wholeGrid(samples);
        const { truePeak } = read(samples);
        expect(truePeak).toBeLessThanOrEqual(whole * (1 + 1e-12));
        // Hundredths of a decibel are let go on purpose.
        expect(truePeak).toBeGreaterThanOrEqual(whole * 10 ** (-0.05 / 20));
      }),
      { numRuns: 150 },
    );
  });

  test('a constant is a constant', () => {
    const reading = read(tapered(new Float32Array(4800).fill(0.5), 48_000));
    expect(reading.samplePeak).toBe(0.5);
    expect(reading.truePeak).toBeCloseTo(0.5, 3);
  });

  test('of a single sample it is that sample', () => {
    const reading = read(Float32Array.of(-0.25));
    expect(reading.samplePeak).toBe(0.25);
    expect(reading.truePeak).toBe(0.25);
  });

  test('a peak behind the last sample, and before the first, is seen', () => {
    // Two like samples at the very edge: between them the curve is 4/π high, by the sinc.
    for (const place of [0, 4998]) {
      const samples = new Float32Array(5000);
      samples.fill(0.5, place, place + 2);
      expect(decibels(read(samples).truePeak / 0.5)).toBeCloseTo(decibels(4 / Math.PI), 1);
    }
  });
});

/** Every point of the grid of 1/16, with the kernel worked out anew: a sinc under Kaiser's window, 12 samples either side. */
function wholeGrid(samples: Float32Array): number {
  let peak = 0;
  for (const weights of kernels) {
    for (let n = -12; n < samples.length + 12; n++) {
      let sum = 0;
      for (let k = 0; k < 24; k++) sum += (weights[k] as number) * (samples[n - 11 + k] ?? 0);
      peak = Math.max(peak, Math.abs(sum));
    }
  }
  return peak;
}

/** I₀ by its integral, (1/π)∫exp(x cos t)dt over 0 … π. */
function besselByIntegral(x: number): number {
  const steps = 400;
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += Math.exp(x * Math.cos((Math.PI * (i + 0.5)) / steps));
  return sum / steps;
}

const kernels = Array.from({ length: 16 }, (_, step) => {
  const weights = Array.from({ length: 24 }, (_, k) => {
    const t = k - 11 - step / 16;
    const window = besselByIntegral(6.5 * Math.sqrt(Math.max(0, 1 - (t / 12) ** 2)));
    return window * (t === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t));
  });
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return weights.map((weight) => weight / sum);
});
