import type { Pcm } from '../../server/audio/pcm';

/** The test signals of ITU-R BS.1770 and EBU Tech 3341, made here: levels are those of the peaks of sines, in dBFS. */

export const amplitude = (decibels: number): number => 10 ** (decibels / 20);

/** A stretch of a 1 kHz sine; null is silence. */
export type Stretch = readonly [seconds: number, level: number | null];

/** One second of it, which is a whole number of periods at every rate. */
const seconds = new Map<number, Float32Array>();
function oneSecond(rate: number): Float32Array {
  let sine = seconds.get(rate);
  if (!sine) {
    sine = sineWave(rate, 1, 1000);
    seconds.set(rate, sine);
  }
  return sine;
}

export function sineWave(rate: number, duration: number, frequency: number, level = 0, phase = 0): Float32Array {
  const peak = amplitude(level);
  return Float32Array.from({ length: Math.round(duration * rate) }, (_, i) => {
    return peak * Math.sin((2 * Math.PI * frequency * i) / rate + phase);
  });
}

/** The 1 kHz sine with its levels one after the other, its phase going on throughout. */
export function stretches(rate: number, list: readonly Stretch[]): Float32Array {
  const sine = oneSecond(rate);
  const ends: number[] = [];
  let total = 0;
  for (const [duration] of list) {
    total += duration;
    ends.push(Math.round(total * rate));
  }
  const samples = new Float32Array(ends.at(-1) ?? 0);
  let at = 0;
  for (const [index, [, level]] of list.entries()) {
    const peak = level === null ? 0 : amplitude(level);
    for (const end = ends[index] as number; at < end; at++) samples[at] = peak * (sine[at % rate] as number);
  }
  return samples;
}

/** The same in left and right. */
export const inBoth = (rate: number, list: readonly Stretch[]): Pcm => {
  const samples = stretches(rate, list);
  return { rate, channels: [samples, samples] };
};

/** Fades of 10 ms, linear, at both ends. */
export function tapered(samples: Float32Array, rate: number): Float32Array {
  const length = Math.round(0.01 * rate);
  return samples.map((sample, i) => sample * Math.min(1, i / length, (samples.length - 1 - i) / length));
}

/**
 * EBU Tech 3341, cases 20 to 23, in samples of 1 s / 4·rate: a sine of rate/6 at half scale, into which one period of a sine
 * of rate/4 at full scale is put where it crosses zero upwards; low-passed below rate/2 and every fourth sample taken.
 */
export function burst(rate: number, offset: number): Float32Array {
  const carrier = 24;
  const period = 16;
  const before = carrier * Math.round(rate / 6 / 10);
  const long = new Float64Array(2 * before + period);
  for (let i = 0; i < before; i++) {
    long[i] = 0.5 * Math.sin((2 * Math.PI * i) / carrier);
    long[before + period + i] = long[i] as number;
  }
  for (let i = 0; i < period; i++) long[before + i] = Math.sin((2 * Math.PI * i) / period);
  const low = blackmanLowPass(511, 1 / 8);
  const middle = (low.length - 1) / 2;
  const samples = new Float32Array(Math.floor((long.length - offset) / 4));
  for (let n = 0; n < samples.length; n++) {
    let sum = 0;
    const at = 4 * n + offset;
    for (let k = 0; k < low.length; k++) sum += (low[k] as number) * (long[at + k - middle] ?? 0);
    samples[n] = sum;
  }
  return tapered(samples, rate);
}

/** A windowed sinc; `cutoff` in cycles a sample. */
function blackmanLowPass(taps: number, cutoff: number): Float64Array {
  const middle = (taps - 1) / 2;
  const low = Float64Array.from({ length: taps }, (_, k) => {
    const t = k - middle;
    const turn = (2 * Math.PI * k) / (taps - 1);
    const window = 0.42 - 0.5 * Math.cos(turn) + 0.08 * Math.cos(2 * turn);
    return window * (t === 0 ? 2 * cutoff : Math.sin(2 * Math.PI * cutoff * t) / (Math.PI * t));
  });
  const sum = low.reduce((total, weight) => total + weight, 0);
  return low.map((weight) => weight / sum);
}
