import type { ResponseCurve } from './response-curve';

/**
 * Third-octave bands of IEC 61260-1:2014 (clause 5, base ten, from memory): the middle of band n is 1000 · 10^(n/10) Hz, its
 * edges are that times 10^(±1/20). Those from 20 Hz to 20 kHz, with the names of ISO 266 (from memory).
 */
export interface ThirdOctave {
  /** As it is called. */
  nominal: number;
  /** In Hz. */
  middle: number;
  low: number;
  high: number;
}

const first = -17;
const nominals = [
  20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150,
  4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000,
] as const;

export const thirdOctaves: readonly ThirdOctave[] = nominals.map((nominal, i) => {
  const middle = 1000 * 10 ** ((first + i) / 10);
  return { nominal, middle, low: middle * 10 ** (-1 / 20), high: middle * 10 ** (1 / 20) };
});

/**
 * The level of each band as a unit plays a programme with as much power in every third of an octave: the mean power over
 * the logarithm of frequency, in dB, the curve straight between its points. One list an ear; null for a band that the curve
 * doesn't reach over whole.
 */
export function bandLevels({ frequencies, left, right }: ResponseCurve): {
  left: (number | null)[];
  right: (number | null)[] | null;
} {
  const of = (levels: readonly number[]) =>
    thirdOctaves.map(({ low, high }) => bandLevel(frequencies, levels, low, high));
  return { left: of(left), right: right && of(right) };
}

/** Rounding in the tenth digit keeps no band out whose edge a curve ends at. */
const closeBy = 1 + 1e-9;

function bandLevel(
  frequencies: readonly number[],
  levels: readonly number[],
  low: number,
  high: number,
): number | null {
  const [lowest, highest] = [frequencies[0] as number, frequencies.at(-1) as number];
  if (lowest > low * closeBy || highest * closeBy < high) return null;
  let power = 0;
  for (let i = 1; i < frequencies.length; i++) {
    const [f0, f1] = [frequencies[i - 1] as number, frequencies[i] as number];
    const [from, to] = [Math.max(low, f0), Math.min(high, f1)];
    if (from >= to) continue;
    const [l0, l1] = [levels[i - 1] as number, levels[i] as number];
    const at = (f: number) => l0 + ((l1 - l0) * Math.log(f / f0)) / Math.log(f1 / f0);
    power += meanPower(at(from), at(to)) * Math.log(to / from);
  }
  return 10 * Math.log10(power / Math.log(high / low));
}

/** Of a level that goes straight from one to the other, in dB. */
function meanPower(from: number, to: number): number {
  const rise = ((to - from) * Math.LN10) / 10;
  const start = 10 ** (from / 10);
  return Math.abs(rise) < 1e-9 ? start : (start * Math.expm1(rise)) / rise;
}
