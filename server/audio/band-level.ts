import FFT from 'fft.js';
import type { Pcm } from './pcm';

/** The level of what a sound has between two frequencies. */

/** The window is long enough for a resolution of a few hertz; a power of two. */
const windowSeconds = 0.25;

/**
 * The level between `low` and `high` (Hz) in dBFS: ten times the logarithm of the mean square in the band, the channels'
 * powers added as they are played, one channel being played twice. Both channels of a stereo sound with a sine at full
 * scale in the band make 0 dBFS. Null when there is nothing in the band.
 *
 * Every sample counts the same: windows are sines that overlap by half, whose squares add to one, and reach beyond both
 * ends of the sound, so by Parseval's theorem the powers of all bands add up to that of the sound. Throws RangeError unless
 * 0 ≤ low < high ≤ half the rate.
 */
export function bandLevel(pcm: Pcm, low: number, high: number): number | null {
  const { rate, channels } = pcm;
  if (!(low >= 0 && low < high && high <= rate / 2)) {
    throw new RangeError(`The band must lie between 0 and ${rate / 2} Hz and go up: this one is ${low} to ${high} Hz.`);
  }
  const size = 2 ** Math.round(Math.log2(windowSeconds * rate));
  const shares = sharesOfBins(size, rate / size, low, high);
  const frames = channels[0]?.length ?? 0;
  const power = channels.reduce((sum, samples) => sum + bandPower(samples, size, shares), 0);
  const played = channels.length === 1 ? 2 : 1;
  return power > 0 && frames > 0 ? 10 * Math.log10((played * power) / frames) : null;
}

/** How much of each bin lies in the band; a bin reaches half a step to either side. */
function sharesOfBins(size: number, step: number, low: number, high: number): Float64Array {
  return Float64Array.from({ length: size / 2 + 1 }, (_, bin) => {
    const from = Math.max(0, (bin - 0.5) * step, low);
    const to = Math.min((size * step) / 2, (bin + 0.5) * step, high);
    const whole = bin === 0 || bin === size / 2 ? step / 2 : step;
    return Math.max(0, to - from) / whole;
  });
}

/** The sum of squares of what a channel has in the band. */
function bandPower(samples: Float32Array, size: number, shares: Float64Array): number {
  const transform = new FFT(size);
  const window = Float64Array.from({ length: size }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / size));
  const piece = new Float64Array(size);
  const spectrum = new Float64Array(2 * size);
  let power = 0;
  for (let start = -size / 2; start < samples.length; start += size / 2) {
    for (let i = 0; i < size; i++) piece[i] = (window[i] as number) * (samples[start + i] ?? 0);
    transform.realTransform(spectrum, piece);
    for (let bin = 0; bin <= size / 2; bin++) {
      const share = shares[bin] as number;
      if (share === 0) continue;
      const mirrored = bin === 0 || bin === size / 2 ? 1 : 2;
      power += share * mirrored * ((spectrum[2 * bin] as number) ** 2 + (spectrum[2 * bin + 1] as number) ** 2);
    }
  }
  return power / size;
}
