import { SoundError } from './sound-error';

/** A second-order section with a₀ = 1: y[n] = b₀x[n] + b₁x[n−1] + b₂x[n−2] − a₁y[n−1] − a₂y[n−2]. */
export interface Biquad {
  b0: number;
  b1: number;
  b2: number;
  a1: number;
  a2: number;
}

/** ITU-R BS.1770-5 (2023), Annex 1, tables 1 and 2: the shelf of the head, and the high-pass, both at 48 kHz. */
const standardRate = 48_000;
const shelfAt48k: Biquad = {
  b0: 1.53512485958697,
  b1: -2.69169618940638,
  b2: 1.19839281085285,
  a1: -1.69065929318241,
  a2: 0.73248077421585,
};
const highPassAt48k: Biquad = { b0: 1, b1: -2, b2: 1, a1: -1.99004745483398, a2: 0.99007225036621 };

/** The shelf turns at 1.7 kHz and rises to twice that; below this rate it has no room. */
const lowestRate = 8000;
const highestRate = 1_536_000;

/** The two sections of the K-weighting at a rate, in their order. Throws SoundError `rate` outside 8 kHz … 1536 kHz. */
export function kWeighting(rate: number): readonly [Biquad, Biquad] {
  if (!(rate >= lowestRate && rate <= highestRate)) {
    throw new SoundError(
      'rate',
      `Loudness is measured at 8 to 1536 kHz, and this is ${rate} Hz. Export the sound at 48 kHz.`,
    );
  }
  return [atRate(shelfAt48k, rate), atRate(highPassAt48k, rate)];
}

/**
 * The same filter at another rate: the bilinear transform is taken back to the analogue prototype and done again. With
 * s′ = (1 − z⁻¹)/(1 + z⁻¹), a polynomial p₀ + p₁z⁻¹ + p₂z⁻² over (1 + z⁻¹)² is c₀ + c₁s′ + c₂s′², up to one factor for all.
 * Frequencies of s′ are tan(πf/rate), so s′ is stretched by the ratio of these at the poles' own frequency: the filter
 * turns where it turns at 48 kHz. At 48 kHz it is the standard's to the last digit.
 */
function atRate(at48k: Biquad, rate: number): Biquad {
  if (rate === standardRate) return at48k;
  const numerator = analogue(at48k.b0, at48k.b1, at48k.b2);
  const denominator = analogue(1, at48k.a1, at48k.a2);
  const turn = Math.sqrt(denominator[0] / denominator[2]);
  const stretch = turn / Math.tan((Math.atan(turn) * standardRate) / rate);
  const b = digital(numerator, stretch);
  const a = digital(denominator, stretch);
  return { b0: b[0] / a[0], b1: b[1] / a[0], b2: b[2] / a[0], a1: a[1] / a[0], a2: a[2] / a[0] };
}

type Polynomial = [number, number, number];

const analogue = (p0: number, p1: number, p2: number): Polynomial => [p0 + p1 + p2, 2 * (p0 - p2), p0 - p1 + p2];

function digital([c0, c1, c2]: Polynomial, stretch: number): Polynomial {
  const first = c1 * stretch;
  const second = c2 * stretch * stretch;
  return [c0 + first + second, 2 * (c0 - second), c0 - first + second];
}

/** Below this nothing can be heard or measured; further down arithmetic gets slow. */
const nothing = 1e-30;

/** The K-weighting of one channel, as it goes on from piece to piece. */
export class KFilter {
  private readonly shelf: Biquad;
  private readonly highPass: Biquad;
  private s1 = 0;
  private s2 = 0;
  private h1 = 0;
  private h2 = 0;

  constructor(rate: number) {
    [this.shelf, this.highPass] = kWeighting(rate);
  }

  /** The sum of squares of the weighted samples `from` … `to` − 1. Sections in the transposed direct form II. */
  energy(samples: Float32Array, from: number, to: number): number {
    const { b0, b1, b2, a1, a2 } = this.shelf;
    const { b0: d0, b1: d1, b2: d2, a1: c1, a2: c2 } = this.highPass;
    let { s1, s2, h1, h2 } = this;
    let sum = 0;
    for (let i = from; i < to; i++) {
      const x = samples[i] as number;
      const y = b0 * x + s1;
      s1 = b1 * x - a1 * y + s2;
      s2 = b2 * x - a2 * y;
      const z = d0 * y + h1;
      h1 = d1 * y - c1 * z + h2;
      h2 = d2 * y - c2 * z;
      sum += z * z;
    }
    this.s1 = Math.abs(s1) < nothing ? 0 : s1;
    this.s2 = Math.abs(s2) < nothing ? 0 : s2;
    this.h1 = Math.abs(h1) < nothing ? 0 : h1;
    this.h2 = Math.abs(h2) < nothing ? 0 : h2;
    return sum;
  }
}
