import type { Alternative } from './check';
import { seededRandom } from './seeded-random';
import { signFlipNull } from './sign-flip';

export interface PanelDesign {
  repeats: number;
  share: number;
  gamma: number;
  alpha: number;
  alternative: Alternative;
  panels: number;
  seed: number | string;
}

/**
 * Share of simulated panels in which the exact sign-flip test of listeners' net preferences is significant; for
 * `preferencePower` and `preferenceSize`, which say what it assumes. Without checks.
 *
 * Listener after listener is drawn for all panels, and each answer count comes from one uniform number by inversion: so a
 * larger panel holds the smaller one, and a higher share moves every listener the same way.
 */
export function simulatePreference(design: PanelDesign, listeners: number): number {
  const { repeats, panels, alternative } = design;
  const upTo = cumulativeBetaBinomial(repeats, design.share, design.gamma);
  const random = seededRandom(design.seed);
  const sums = new Int32Array(panels);
  const sizes = Array.from({ length: panels }, () => new Uint16Array(repeats + 1));
  for (let listener = 0; listener < listeners; listener++) {
    for (let panel = 0; panel < panels; panel++) {
      const u = random.uniform();
      let wins = 0;
      while (wins < repeats && u >= (upTo[wins] as number)) wins++;
      const net = 2 * wins - repeats;
      sums[panel] = (sums[panel] as number) + net;
      const size = sizes[panel] as Uint16Array;
      size[Math.abs(net)] = (size[Math.abs(net)] as number) + 1;
    }
  }
  // The null distribution depends on the sizes of the net preferences alone: one critical sum for each set of sizes.
  const critical = new Map<string, number>();
  const tail = alternative === 'two-sided' ? design.alpha / 2 : design.alpha;
  let significant = 0;
  for (let panel = 0; panel < panels; panel++) {
    const key = (sizes[panel] as Uint16Array).join();
    let needed = critical.get(key);
    if (needed === undefined) {
      needed = criticalSum(sizes[panel] as Uint16Array, tail);
      critical.set(key, needed);
    }
    const sum = sums[panel] as number;
    const far = alternative === 'two-sided' ? Math.abs(sum) : alternative === 'greater' ? sum : -sum;
    if (far >= needed) significant++;
  }
  return significant / panels;
}

/** Smallest sum whose upper tail is at most `tail`; `sizes[k]` listeners have a net preference of size k. */
function criticalSum(sizes: Uint16Array, tail: number): number {
  // Net preferences of an even number of trials are even: count them by twos.
  const unit = sizes.length % 2 === 1 ? 2 : 1;
  const values: number[] = [];
  let total = 0;
  sizes.forEach((count, size) => {
    for (let i = 0; i < count; i++) values.push(size / unit);
    total += (count * size) / unit;
  });
  // A tail above one half is asked for only by an alpha above one half, and then the whole distribution is needed.
  const shares = signFlipNull(values, tail < 0.5 ? Math.floor(total / 2) : total);
  let p = 0;
  for (let t = 0; t < shares.length; t++) {
    p += shares[t] as number;
    if (p > tail * (1 + 1e-12)) return (total - 2 * t + 1) * unit;
  }
  return -total * unit;
}

/**
 * P(wins ≤ k) for k = 0 … repeats, the chance of a win being beta distributed with mean `share` and γ = 1/(a + b + 1)
 * (Skellam 1948, JRSS B 10:257–261). Built as a Pólya urn: after i answers of which j were wins, the next is a win with
 * probability (a + j)/(a + b + i); nothing overflows, and γ = 0 is the binomial.
 */
export function cumulativeBetaBinomial(repeats: number, share: number, gamma: number): Float64Array {
  let mass = new Float64Array([1]);
  // (a + j)/(a + b + i), numerator and denominator times γ/(1 − γ), which is finite at γ = 0 too.
  const weight = gamma / (1 - gamma);
  for (let i = 0; i < repeats; i++) {
    const next = new Float64Array(i + 2);
    for (let j = 0; j <= i; j++) {
      const win = (share + j * weight) / (1 + i * weight);
      const loss = (1 - share + (i - j) * weight) / (1 + i * weight);
      next[j] = (next[j] as number) + (mass[j] as number) * loss;
      next[j + 1] = (next[j + 1] as number) + (mass[j] as number) * win;
    }
    mass = next;
  }
  let sum = 0;
  return mass.map((p) => {
    sum += p;
    return sum;
  });
}
