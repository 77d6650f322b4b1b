import { Fourier, powerOfTwo } from './fourier';
import type { Pcm } from './pcm';

/** By how much b is later than a, and how sure that is. */
export interface Lag {
  /** In samples; above 0 where b comes later. */
  lag: number;
  /** From −1 to 1: 1 for a copy, −1 for one with its polarity turned, near 0 where the two have nothing in common. */
  correlation: number;
}

/** Renders of one excerpt may lie this far apart, in samples. */
export const mostLag = 1;

/**
 * What correlates less than this is no sure lag. Of half a second and more unrelated programme stays below 0.1, a
 * lone tone below 0.25, and tunings that differ by 10 dB are above 0.8 (`tests/audio/align.test.ts`).
 */
export const leastCorrelation = 0.25;

/** Below, a tuning turns phases by much of a sample and more; above, coders keep little of what was there. In Hz. */
const band = { low: 200, high: 16000 };

/** At least so many samples are looked at together. */
const leastBlock = 2 ** 14;

/** The channels' sum. */
function summed(pcm: Pcm): Float64Array {
  const sum = new Float64Array(pcm.channels[0]?.length ?? 0);
  for (const channel of pcm.channels) {
    for (let i = 0; i < channel.length; i++) sum[i] = (sum[i] as number) + (channel[i] as number);
  }
  return sum;
}

/** A piece of the sum, faded in and out. */
function faded(sum: Float64Array, from: number, fade: Float64Array): Float64Array {
  return fade.map((factor, i) => factor * (sum[from + i] ?? 0));
}

/**
 * How much later b is than a, by the peak of their cross-correlation. The spectra are averaged over blocks and whitened
 * (the generalized method: Knapp and Carter 1976, “The generalized correlation method for estimation of time delay”, IEEE
 * Trans. Acoust. Speech Signal Process. 24, 320–327), so that what differs between two tunings, level and colour, doesn't
 * count; phases weigh by the squared coherence, so that frequencies at which each has a hiss of its own don't count
 * either. Channels are summed.
 *
 * @param maxLag the furthest lag that is looked for, in samples; something further off looks unrelated
 * @throws RangeError if rates differ or there is nothing to look at
 */
export function lagBetween(a: Pcm, b: Pcm, maxLag: number): Lag {
  if (a.rate !== b.rate) throw new RangeError(`Sounds of ${a.rate} and ${b.rate} Hz have no lag in samples.`);
  if (!(Number.isInteger(maxLag) && maxLag >= 1))
    throw new RangeError(`A furthest lag is 1 or more samples, not ${maxLag}.`);
  const [first, second] = [summed(a), summed(b)];
  const frames = Math.min(first.length, second.length);
  const size = powerOfTwo(Math.max(leastBlock, 4 * maxLag));
  // The window lies within the sound: where both are cut at the same place, the cut would say that they are aligned.
  const block = Math.min(size, frames);
  const fade = Float64Array.from({ length: block }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / block));
  const fourier = new Fourier(size);
  const cross = new Float64Array(2 * size);
  const power = { a: new Float64Array(size / 2), b: new Float64Array(size / 2) };
  const [low, high] = [band.low, Math.min(band.high, 0.45 * a.rate)].map((f) => Math.round((f / a.rate) * size)) as [
    number,
    number,
  ];
  const blocks = starts(frames, block);
  for (const from of blocks) {
    const one = fourier.spectrum(faded(first, from, fade));
    const two = fourier.spectrum(faded(second, from, fade));
    for (let k = low; k <= high; k++) {
      const [ar, ai, br, bi] = [one[2 * k], one[2 * k + 1], two[2 * k], two[2 * k + 1]] as [
        number,
        number,
        number,
        number,
      ];
      cross[2 * k] = (cross[2 * k] as number) + ar * br + ai * bi;
      cross[2 * k + 1] = (cross[2 * k + 1] as number) + ar * bi - ai * br;
      power.a[k] = (power.a[k] as number) + ar * ar + ai * ai;
      power.b[k] = (power.b[k] as number) + br * br + bi * bi;
    }
  }
  // Of unrelated blocks the squared coherence is 1 over their number on average; four times that is rarely met by chance.
  const chance = blocks.length < 8 ? 0 : 4 / blocks.length;
  let weights = 0;
  for (let k = low; k <= high; k++) {
    const [re, im] = [cross[2 * k] as number, cross[2 * k + 1] as number];
    const both = (power.a[k] as number) * (power.b[k] as number);
    const coherence = both > 0 ? (re * re + im * im) / both : 0;
    weights += coherence;
    // The phase alone, by the squared coherence.
    const scale = coherence > chance ? coherence / Math.hypot(re, im) : 0;
    cross[2 * k] = re * scale;
    cross[2 * k + 1] = im * scale;
  }
  if (weights === 0) return { lag: 0, correlation: 0 };
  // Bins above the half stay empty: the real part of what comes back is then the half of the sum over both sides.
  const correlation = fourier.samples(cross).map((x) => (x * size) / weights);
  let best: Lag = { lag: 0, correlation: correlation[0] as number };
  for (let distance = 1; distance <= maxLag; distance++) {
    for (const lag of [distance, -distance]) {
      const here = correlation[(lag + size) % size] as number;
      if (Math.abs(here) > Math.abs(best.correlation)) best = { lag, correlation: here };
    }
  }
  return best;
}

/** Where blocks begin: each over half of the last one, the last at the very end. */
function starts(frames: number, block: number): number[] {
  const step = Math.max(1, Math.floor(block / 2));
  const count = Math.ceil((frames - block) / step) + 1;
  return Array.from({ length: count }, (_, i) => Math.min(i * step, frames - block));
}

/** Two renders of one excerpt beside each other. */
export interface Alignment extends Lag {
  /** The ids of the two. */
  a: string;
  b: string;
  verdict: 'aligned' | 'shifted' | 'unsure';
  /** What is wrong and what to do; nothing where they are aligned and of one polarity. */
  words: string | null;
}

/**
 * Whether the renders of one excerpt begin together. Each is looked at beside the first; then the two that lie furthest
 * apart. More than `mostLag` is `shifted` and to be refused unless the plan declares it; `unsure` is a warning.
 *
 * @param renders of one rate; `name` is what the words call it
 * @param maxLag how far to look, in samples; a quarter of a second if not given
 */
export function alignment(renders: { id: string; name: string; pcm: Pcm }[], maxLag?: number): Alignment[] {
  const [first, ...others] = renders;
  if (!first) return [];
  const judged = (a: typeof first, b: typeof first, { lag, correlation }: Lag): Alignment => {
    const sure = Math.abs(correlation) >= leastCorrelation;
    const shifted = sure && Math.abs(lag) > mostLag;
    const words = !sure
      ? unsureWords(a.name, b.name)
      : shifted
        ? shiftWords(a, b, lag)
        : polarityWords(a, b, correlation);
    return { a: a.id, b: b.id, lag, correlation, verdict: sure ? (shifted ? 'shifted' : 'aligned') : 'unsure', words };
  };
  const found = others.map((render) => ({
    render,
    lag: lagBetween(first.pcm, render.pcm, maxLag ?? Math.round(first.pcm.rate / 4)),
  }));
  const result = found.map(({ render, lag }) => judged(first, render, lag));
  const aligned = found.filter((_, i) => result[i]?.verdict === 'aligned').sort((a, b) => a.lag.lag - b.lag.lag);
  const [earliest, latest] = [aligned[0], aligned.at(-1)];
  if (earliest && latest && latest.lag.lag - earliest.lag.lag > mostLag) {
    const lag = latest.lag.lag - earliest.lag.lag;
    const correlation = latest.lag.correlation * earliest.lag.correlation;
    result.push(judged(earliest.render, latest.render, { lag, correlation }));
  }
  return result;
}

function shiftWords(a: { name: string; pcm: Pcm }, b: { name: string }, lag: number): string {
  const samples = Math.abs(lag);
  const milliseconds = (samples / a.pcm.rate) * 1000;
  const time = `${milliseconds < 10 ? milliseconds.toPrecision(2) : Math.round(milliseconds)} ms`;
  return (
    `Render ${b.name} begins ${samples} samples (${time}) ${lag > 0 ? 'later' : 'earlier'} than render ${a.name}: ` +
    'switching between them would jump, which tells them apart. Make them begin at the same sample and upload again, ' +
    'or declare in the plan that these renders are not aligned.'
  );
}

function unsureWords(a: string, b: string): string {
  return (
    `Whether render ${b} begins when render ${a} does can’t be told: they have too little in common. ` +
    'Check that both are renders of the same excerpt.'
  );
}

function polarityWords(a: { name: string }, b: { name: string }, correlation: number): string | null {
  if (correlation >= 0) return null;
  return `Render ${b.name} has its polarity turned beside render ${a.name}. Check that this belongs to the prototype.`;
}
