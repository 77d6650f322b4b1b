import FFT from 'fft.js';

/** The least power of two that is no less than `least`. */
export function powerOfTwo(least: number): number {
  return 2 ** Math.max(1, Math.ceil(Math.log2(least)));
}

/**
 * The discrete Fourier transform of one size, a power of two. A spectrum holds the real and the imaginary part of each
 * bin in turn, from 0 up, 2 · size numbers in all; the transform back divides by the size.
 */
export class Fourier {
  readonly #fft: FFT;
  readonly #scratch: Float64Array;

  constructor(readonly size: number) {
    this.#fft = new FFT(size);
    this.#scratch = new Float64Array(2 * size);
  }

  /** The spectrum of real samples; what is short of the size counts as zeros. */
  spectrum(samples: ArrayLike<number>): Float64Array {
    const padded = new Float64Array(this.size);
    padded.set(samples);
    const spectrum = new Float64Array(2 * this.size);
    this.#fft.realTransform(spectrum, padded);
    this.#fft.completeSpectrum(spectrum);
    return spectrum;
  }

  /** The real samples of a spectrum that is its own mirror image, or of the part of any spectrum that is. */
  samples(spectrum: Float64Array): Float64Array {
    this.#fft.inverseTransform(this.#scratch, spectrum);
    const samples = new Float64Array(this.size);
    for (let i = 0; i < this.size; i++) samples[i] = this.#scratch[2 * i] as number;
    return samples;
  }
}
