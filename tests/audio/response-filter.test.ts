import { expect, test } from 'vitest';
import type { Pcm } from '../../server/audio/pcm';
import type { ResponseCurve } from '../../server/audio/response-curve';
import { applyResponse, gainAt, responseFilter } from '../../server/audio/response-filter';
import { noise, sine } from './programme';

/** A curve like an in-ear's: bass, a broad rise at 2.7 kHz, a peak near 8 kHz, and less above; by formula, in SPL. */
const inEar = (f: number) =>
  94 +
  6 / (1 + (f / 150) ** 2) +
  9 * Math.exp(-((Math.log2(f / 2700) / 0.7) ** 2)) +
  5 * Math.exp(-((Math.log2(f / 8000) / 0.2) ** 2));
const frequencies = Array.from({ length: 241 }, (_, i) => 20 * 1000 ** (i / 240));
const curve: ResponseCurve = {
  frequencies,
  left: frequencies.map(inEar),
  right: frequencies.map((f) => inEar(f) - 3 + Math.log2(f / 1000)),
};
const db = (gain: number) => 20 * Math.log10(Math.abs(gain));

test.each([44100, 48000, 96000])('at %i Hz the filter is the curve, less its level at 1 kHz', (rate) => {
  const { left, right } = responseFilter(curve, rate);
  expect(db(gainAt(left, 1000, rate))).toBeCloseTo(0, 9);
  expect(db(gainAt(right, 1000, rate))).toBeCloseTo(0, 9);
  for (const f of [50, 100, 300, 2700, 5000, 8000, 12000, 18000]) {
    expect(Math.abs(db(gainAt(left, f, rate)) - (inEar(f) - inEar(1000))), `${f} Hz`).toBeLessThan(0.1);
    expect(
      Math.abs(db(gainAt(right, f, rate)) - (inEar(f) - inEar(1000) + Math.log2(f / 1000))),
      `${f} Hz`,
    ).toBeLessThan(0.1);
  }
});

test('the phase is linear: the taps read the same forwards and backwards, and their number is odd', () => {
  const { left } = responseFilter(curve, 48000);
  expect(left.length % 2).toBe(1);
  expect(Math.max(...left.map((x, i) => Math.abs(x - (left[left.length - 1 - i] as number))))).toBeLessThan(1e-12);
  expect(() => responseFilter(curve, 48000, 100)).toThrow('odd number of taps');
});

test('a tone comes out by its curve, ear by ear, at its place', () => {
  for (const f of [100, 1000, 2700, 8000]) {
    const played = applyResponse(sine(f, 0.1, 0.5), curve);
    for (const [ear, expected] of [
      [0, inEar(f) - inEar(1000)],
      [1, inEar(f) - inEar(1000) + Math.log2(f / 1000)],
    ] as const) {
      const channel = played.channels[ear] as Float32Array;
      // Away from the ends, where the tone is whole, its phase is what it was.
      const middle = channel.subarray(9600, 14400);
      const [inPhase, beside] = [Math.sin, Math.cos].map(
        (wave) =>
          (2 / middle.length) * middle.reduce((sum, x, i) => sum + x * wave((2 * Math.PI * f * (i + 9600)) / 48000), 0),
      );
      expect(db((inPhase as number) / 0.1)).toBeCloseTo(expected, 1);
      expect(Math.abs(beside as number)).toBeLessThan(0.001);
    }
  }
});

test('block by block or by the sum itself: the same samples', () => {
  const pcm: Pcm = { rate: 48000, channels: [noise(1, 3000)] };
  const taps = 101;
  const { left: filter } = responseFilter(curve, 48000, taps);
  const channel = pcm.channels[0] as Float32Array;
  const [left, right] = applyResponse(
    { rate: 48000, channels: [channel, channel] },
    { ...curve, right: null },
    taps,
  ).channels;
  const furthest = Math.max(
    ...channel.map((_, n) => {
      const sum = filter.reduce((so, tap, k) => so + tap * (channel[n + 50 - k] ?? 0), 0);
      return Math.abs((left?.[n] as number) - sum);
    }),
  );
  expect(furthest).toBeLessThan(1e-6);
  expect(right).toEqual(left);
});

test('one channel is played to both ears, each by its own curve', () => {
  const mono = { rate: 48000, channels: [noise(2, 5000)] };
  const stereo = { rate: 48000, channels: [noise(2, 5000), noise(2, 5000)] };
  expect(applyResponse(mono, curve)).toEqual(applyResponse(stereo, curve));
  const [left, right] = applyResponse(mono, curve).channels;
  expect(left).not.toEqual(right);
});

test('a flat curve, whatever its level, changes nothing', () => {
  const flat: ResponseCurve = { frequencies, left: frequencies.map(() => 110), right: null };
  const sound = { rate: 44100, channels: [noise(3, 4000)] };
  const [left] = applyResponse(sound, flat).channels;
  const original = sound.channels[0] as Float32Array;
  expect(Math.max(...original.map((x, i) => Math.abs(x - (left?.[i] as number))))).toBeLessThan(1e-6);
});

test('more than two channels, and none, are faults of the caller', () => {
  const three = { rate: 48000, channels: [0, 1, 2].map(() => new Float32Array(9)) };
  expect(() => applyResponse(three, curve)).toThrow('not 3');
  expect(() => applyResponse({ rate: 48000, channels: [] }, curve)).toThrow('not 0');
});
