import { convolved } from './convolved';
import type { Pcm } from './pcm';

/**
 * The anchors of ITU-R BS.1534-3 (10/2015): the reference below 3.5 kHz, and below 7 kHz. What the Recommendation asks of
 * the filter for 3.5 kHz, from memory: up to there within ±0.1 dB, 25 dB down at 4 kHz, 50 dB at 4.5 kHz. For 7 kHz it is
 * taken here at twice these frequencies.
 */

/** Decibels by which everything beyond the edge is down at least, and by whose share of the whole the rest ripples. */
const attenuation = 70;

/** From where all passes to where nothing does: a seventh of the corner, so 0.5 kHz for the low anchor and 1 kHz for the middle one. */
const width = 1 / 7;

/** Where nothing passes any more, in Hz: no rate below twice that can hold the filter. */
export const stopEdge = (lowPassHz: number): number => lowPassHz * (1 + width);

/** Samples a second that a sound must have at least, for an anchor to be made of it. */
export const leastRate = (lowPassHz: number): number => 2 * stopEdge(lowPassHz);

/**
 * A windowed sinc by Kaiser's window, of linear phase: odd in length, the same forwards and backwards, and exactly 1 at
 * 0 Hz. All up to the corner passes; −6 dB lies in the middle between corner and edge. Its length follows from
 * attenuation and width by the design formulas (Kaiser 1974, “Nonrecursive digital filter design using the I0-sinh window
 * function”, Proc. IEEE Int. Symp. Circuits and Systems, 20–23; as Oppenheim and Schafer 1989, “Discrete-Time Signal
 * Processing”, section 7.4.3, have them; both from memory).
 *
 * @param lowPassHz the corner, in Hz
 * @throws RangeError for a rate that can't hold it
 */
export function lowPass(lowPassHz: number, rate: number): Float64Array {
  if (!(lowPassHz > 0 && rate >= leastRate(lowPassHz))) {
    throw new RangeError(`A low-pass of ${lowPassHz} Hz needs ${leastRate(lowPassHz)} samples a second, not ${rate}.`);
  }
  const middle = (lowPassHz + stopEdge(lowPassHz)) / 2 / rate;
  const transition = (2 * Math.PI * lowPassHz * width) / rate;
  const half = Math.ceil((attenuation - 7.95) / (2.285 * transition) / 2);
  const beta = 0.1102 * (attenuation - 8.7);
  const taps = Float64Array.from({ length: 2 * half + 1 }, (_, k) => {
    const t = k - half;
    const sinc = t === 0 ? 2 * middle : Math.sin(2 * Math.PI * middle * t) / (Math.PI * t);
    return (sinc * bessel(beta * Math.sqrt(1 - (t / half) ** 2))) / bessel(beta);
  });
  const sum = taps.reduce((all, tap) => all + tap, 0);
  return taps.map((tap) => tap / sum);
}

/** The sound below that frequency: as long as it was, in its place, and as loud in what passes. */
export function lowPassed({ rate, channels }: Pcm, lowPassHz: number): Pcm {
  const filter = lowPass(lowPassHz, rate);
  return { rate, channels: channels.map((channel) => convolved(channel, filter)) };
}

/** Frames on either side that a sample of the low-passed sound hangs on. */
export const reachOf = (lowPassHz: number, rate: number): number => (lowPass(lowPassHz, rate).length - 1) / 2;

/** The modified Bessel function of the first kind of order 0, by its series (Abramowitz and Stegun 1964, 9.6.12). */
function bessel(x: number): number {
  let [term, sum] = [1, 1];
  for (let k = 1; term > 1e-17 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
