import { Fourier } from './fourier';
import type { Pcm } from './pcm';

/**
 * The A-weighting of a frequency in dB, by the formula of IEC 61672-1:2013, annex E: four poles, two of them double, and
 * normalised to 0 dB at 1 kHz. From the formula and not a digital filter, so that it is the same at any rate.
 */
export function aWeighting(frequency: number): number {
  return 10 * Math.log10(powerWeight(frequency));
}

/** Pole frequencies in Hz: IEC 61672-1:2013, annex E (figures from memory). */
const [f1, f2, f3, f4] = [20.598997, 107.65265, 737.86223, 12194.217];

function unnormalised(frequency: number): number {
  const f = frequency ** 2;
  const amplitude = (f4 ** 2 * f ** 2) / ((f + f1 ** 2) * Math.sqrt((f + f2 ** 2) * (f + f3 ** 2)) * (f + f4 ** 2));
  return amplitude ** 2;
}

const atOneKilohertz = unnormalised(1000);

/** As a factor on the power. */
function powerWeight(frequency: number): number {
  return unnormalised(frequency) / atOneKilohertz;
}

/** Long enough to tell the lowest tones, where the weighting is steepest. */
const blockSeconds = 0.5;

/**
 * The A-weighted level of a sound in dB: its mean power over the whole, ungated, in the louder of its channels. The
 * reference is a square wave at full scale, so that a 1 kHz sine at full scale reads −3.01. Null for digital silence.
 *
 * By Fourier transforms of blocks that overlap by half under a sine window, whose squares add to one, so that every sample
 * counts once (Parseval's theorem).
 */
export function aWeightedLevel(pcm: Pcm): number | null {
  const frames = pcm.channels[0]?.length ?? 0;
  const size = 2 ** Math.round(Math.log2(blockSeconds * pcm.rate));
  const fourier = new Fourier(size);
  const window = Float64Array.from({ length: size }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / size));
  const weights = Float64Array.from({ length: size / 2 + 1 }, (_, bin) => {
    // Bins between 0 and half the rate stand for their mirror images, too.
    return powerWeight((bin * pcm.rate) / size) * (bin === 0 || bin === size / 2 ? 1 : 2);
  });
  const powers = pcm.channels.map((channel) => {
    let power = 0;
    for (let from = -size / 2; from < frames; from += size / 2) {
      const spectrum = fourier.spectrum(window.map((factor, i) => factor * (channel[from + i] ?? 0)));
      for (let bin = 0; bin <= size / 2; bin++) {
        const squared = (spectrum[2 * bin] as number) ** 2 + (spectrum[2 * bin + 1] as number) ** 2;
        power += (weights[bin] as number) * squared;
      }
    }
    return power / size / frames;
  });
  const louder = Math.max(0, ...powers);
  return louder > 0 ? 10 * Math.log10(louder) : null;
}
