import { convolved } from './convolved';
import { Fourier, powerOfTwo } from './fourier';
import type { Pcm } from './pcm';
import { levelAt, type ResponseCurve } from './response-curve';

/** A filter of linear phase for each ear: odd in length, the same forwards and backwards. */
export interface ResponseFilter {
  left: Float64Array;
  right: Float64Array;
}

/** Long enough to tell what lies 24 Hz apart under its window: below 100 Hz in-ears change slowly. */
const usualSeconds = 0.085;

/** Where curves are normalised: 1 kHz, or as high as the rate allows. */
const middle = (rate: number) => Math.min(1000, rate / 4);

/**
 * A filter that does to a sound what the curve says, but for its level: 1 kHz is left as it is, in each ear by its own
 * curve. Designed by frequency sampling (Rabiner and Gold 1975, “Theory and Application of Digital Signal Processing”,
 * chapter 3; from memory) with a Hann window over the taps. Beyond the ends of the curve the level is held.
 *
 * @param taps odd; by default 85 ms
 */
export function responseFilter(
  curve: ResponseCurve,
  rate: number,
  taps = 2 * Math.round((usualSeconds * rate) / 2) + 1,
): ResponseFilter {
  if (!(Number.isInteger(taps) && taps >= 3 && taps % 2 === 1)) {
    throw new RangeError(`A filter of linear phase has an odd number of taps, 3 or more, not ${taps}.`);
  }
  const left = designed(curve.frequencies, curve.left, rate, taps);
  return { left, right: curve.right ? designed(curve.frequencies, curve.right, rate, taps) : left };
}

function designed(frequencies: number[], levels: number[], rate: number, taps: number): Float64Array {
  const size = powerOfTwo(4 * taps);
  const reference = levelAt(frequencies, levels, middle(rate));
  const spectrum = new Float64Array(2 * size);
  for (let bin = 0; bin <= size / 2; bin++) {
    const gain = 10 ** ((levelAt(frequencies, levels, (bin * rate) / size) - reference) / 20);
    spectrum[2 * bin] = gain;
    if (bin > 0) spectrum[2 * (size - bin)] = gain;
  }
  const around = new Fourier(size).samples(spectrum);
  const half = (taps - 1) / 2;
  const filter = Float64Array.from({ length: taps }, (_, i) => {
    const window = 0.5 + 0.5 * Math.cos((Math.PI * (i - half)) / (half + 1));
    return window * (around[(i - half + size) % size] as number);
  });
  const gain = gainAt(filter, middle(rate), rate);
  return filter.map((x) => x / gain);
}

/** What a filter of linear phase does to a frequency; a factor. */
export function gainAt(filter: Float64Array, frequency: number, rate: number): number {
  const half = (filter.length - 1) / 2;
  return filter.reduce((sum, x, i) => sum + x * Math.cos((2 * Math.PI * frequency * (i - half)) / rate), 0);
}

/**
 * The sound as a unit with this curve plays it, but for its level: two channels, one of the source going to both ears. Of
 * the same length and in the same place; what rings beyond both ends is cut.
 */
export function applyResponse(pcm: Pcm, curve: ResponseCurve, taps?: number): Pcm {
  const [left, right = left] = pcm.channels;
  if (!left || !right || pcm.channels.length > 2) {
    throw new RangeError(`A response is applied to one or two channels, not ${pcm.channels.length}.`);
  }
  const filter = responseFilter(curve, pcm.rate, taps);
  const first = convolved(left, filter.left);
  const same = left === right && filter.left === filter.right;
  return { rate: pcm.rate, channels: [first, same ? first : convolved(right, filter.right)] };
}
