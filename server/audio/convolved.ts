import { Fourier, powerOfTwo } from './fourier';

/**
 * Samples through a filter of an odd number of taps that reads the same forwards and backwards, moved back by half of it,
 * so that nothing comes later: as long as the samples, what rings beyond both ends is cut. By overlap and add.
 */
export function convolved(samples: Float32Array, filter: Float64Array): Float32Array {
  const size = powerOfTwo(4 * filter.length);
  const step = size - filter.length + 1;
  const half = (filter.length - 1) / 2;
  const fourier = new Fourier(size);
  const response = fourier.spectrum(filter);
  const out = new Float64Array(samples.length);
  for (let from = 0; from < samples.length; from += step) {
    const spectrum = fourier.spectrum(samples.subarray(from, from + step));
    for (let bin = 0; bin < size; bin++) {
      const [re, im] = [spectrum[2 * bin] as number, spectrum[2 * bin + 1] as number];
      const [fre, fim] = [response[2 * bin] as number, response[2 * bin + 1] as number];
      spectrum[2 * bin] = re * fre - im * fim;
      spectrum[2 * bin + 1] = re * fim + im * fre;
    }
    const piece = fourier.samples(spectrum);
    const start = from - half;
    const end = Math.min(size, out.length - start);
    for (let i = Math.max(0, -start); i < end; i++) out[start + i] = (out[start + i] as number) + (piece[i] as number);
  }
  return Float32Array.from(out);
}
