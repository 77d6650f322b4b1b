import { logGamma } from './distributions';
import { risingSums } from './rising-sums';

/** So many listeners (`weight`) had so many right answers out of so many. */
export interface CountRow {
  correct: number;
  trials: number;
  weight: number;
}

/** A log likelihood with its derivatives by the mean and by gamma. */
export interface Likelihood {
  logLik: number;
  byMean: number;
  byGamma: number;
  byMeanTwice: number;
  byBoth: number;
  byGammaTwice: number;
}

/** Of one listener: what doesn't hang on mean and gamma, apart. */
interface KnownRow extends CountRow {
  wrong: number;
  /** Log of the ways to get so many right, and of the guesses that were wrong. */
  constant: number;
}

/** Up to so many trials of a listener the likelihood alone is a sum of plain products: nothing in them can vanish that counts. */
const fewTrials = 40;

/** A term so much smaller than the sum changes nothing. */
const negligible = 1e-18;

/**
 * The likelihood of right answers of listeners who differ: each hears the difference in a share of trials of their own and
 * guesses in the rest, so that an answer is right with probability chance + (1 − chance)·share, and shares come from a
 * beta distribution of a given mean, with gamma = 1/(a + b + 1): 0 where all listeners are alike, 1 where each hears it
 * always or never. With chance 0 this is the plain beta-binomial.
 *
 * Of x right answers k were heard and x − k guessed, and the integral over shares is a sum over k of positive terms
 * C(x, k)·(1 − chance)ᵏ·chance^(x−k)·B(a + k, b + n − x)/B(a, b). Their ratios are written in mean and gamma, where they
 * and their derivatives are finite from gamma 0 on: nothing overflows or cancels, however many trials there are. The sum
 * begins at its largest term and goes down both sides; where a second peak stands at k = 0, from there as well.
 *
 * For trusted callers: 0 < mean < 1 and 0 ≤ gamma ≤ 1; at gamma 1 the derivatives by gamma are not defined.
 *
 * Accuracy: 1e-12 relative of a listener's likelihood up to 1e3 trials, 1e-9 up to 1e6.
 * Source: Skellam (1948), Journal of the Royal Statistical Society B 10:257–261 (beta-binomial); Morrison (1978), The
 * American Statistician 32:23–25, and Brockhoff (2003), Food Quality and Preference 14:405–417 (with guessing); from
 * memory, the derivation by hand.
 */
export class GuessedCounts {
  readonly rows: readonly KnownRow[];
  readonly #chance: number;
  /** Of each row, how likely so many of its right answers were heard and the rest guessed; null where products may vanish. */
  readonly #guessed: readonly (readonly number[])[] | null;
  /** Room for products of what is heard, what is not, and all: used anew by every height. */
  readonly #products: readonly [number[], number[], number[]];

  constructor(rows: readonly CountRow[], chance: number) {
    this.#chance = chance;
    this.rows = rows.map((row) => {
      const wrong = row.trials - row.correct;
      const ways = logGamma(row.trials + 1) - logGamma(row.correct + 1) - logGamma(wrong + 1);
      return { ...row, wrong, constant: ways + wrong * Math.log1p(-chance) };
    });
    const most = rows.reduce((largest, { trials }) => Math.max(largest, trials), 0);
    const room = () => new Array<number>(Math.min(most, fewTrials) + 1).fill(0);
    this.#products = [room(), room(), room()];
    this.#guessed = most > fewTrials ? null : rows.map(({ correct }) => guessedWays(correct, chance));
  }

  at(mean: number, gamma: number): Likelihood {
    const sum = { logLik: 0, byMean: 0, byGamma: 0, byMeanTwice: 0, byBoth: 0, byGammaTwice: 0 };
    for (const row of this.rows) {
      const one = likelihoodOf(row, this.#chance, mean, gamma);
      sum.logLik += row.weight * (one.logLik + row.constant);
      sum.byMean += row.weight * one.byMean;
      sum.byGamma += row.weight * one.byGamma;
      sum.byMeanTwice += row.weight * one.byMeanTwice;
      sum.byBoth += row.weight * one.byBoth;
      sum.byGammaTwice += row.weight * one.byGammaTwice;
    }
    return sum;
  }

  /** The log likelihood alone, to seek where it is highest: faster where listeners have few trials. */
  height(mean: number, gamma: number): number {
    if (this.#guessed === null) return this.at(mean, gamma).logLik;
    const [heard, not, all] = this.#products;
    risingProducts(mean, gamma, heard);
    risingProducts(1 - mean, gamma, not);
    risingProducts(1, gamma, all);
    let sum = 0;
    for (const [i, { correct, wrong, weight, constant }] of this.rows.entries()) {
      const guessed = this.#guessed[i] as readonly number[];
      let likelihood = 0;
      for (let k = this.#chance === 0 ? correct : 0; k <= correct; k++) {
        likelihood += ((guessed[k] as number) * (heard[k] as number)) / (all[k + wrong] as number);
      }
      sum += weight * (constant + Math.log(likelihood * (not[wrong] as number)));
    }
    return sum;
  }

  /** The log likelihood where nobody ever hears it. */
  atNobody(): number {
    return this.rows.reduce((sum, row) => sum + row.weight * this.ofNobody(row), 0);
  }

  /** The same of one of the rows, once. */
  ofNobody({ correct, constant }: KnownRow): number {
    return constant + (correct === 0 ? 0 : correct * Math.log(this.#chance));
  }
}

/** C(x, k)·chance^(x − k)·(1 − chance)^k for k = 0 … x. */
function guessedWays(x: number, chance: number): number[] {
  const terms: number[] = [];
  let ways = 1;
  for (let k = 0; k <= x; k++) {
    terms.push(ways * chance ** (x - k) * (1 - chance) ** k);
    ways = (ways * (x - k)) / (k + 1);
  }
  return terms;
}

/** Π(share·(1 − gamma) + i·gamma) over i from 0, of none, one, two … factors, put into `products`. */
function risingProducts(share: number, gamma: number, products: number[]): void {
  let product = 1;
  let factor = share * (1 - gamma);
  for (let i = 0; i < products.length; i++) {
    products[i] = product;
    product *= factor;
    factor += gamma;
  }
}

function likelihoodOf({ correct: x, wrong: m }: KnownRow, chance: number, mean: number, gamma: number): Likelihood {
  const rest = 1 - gamma;
  const others = ofFactor(1 - mean, gamma, m);
  // The first factor of both kinds of answers, and of all, is left out of the sums: together they are one power of rest.
  const all = (k: number) => Math.max(0, k + m - 1);
  const termAt = (k: number): Likelihood => {
    const heard = ofFactor(mean, gamma, k);
    const d = risingSums(rest, gamma, 1, all(k));
    const split = k > 0 && m > 0;
    const guessed = chance === 0 ? 0 : logWays(x, k) + (x - k) * Math.log(chance) + k * Math.log1p(-chance);
    return {
      logLik: guessed + heard.log + others.log - d.logs + (split ? Math.log(rest) : 0),
      byMean: heard.by - others.by,
      byGamma: heard.byGamma + others.byGamma - (d.weighted - d.inverses) - (split ? 1 / rest : 0),
      byMeanTwice: heard.twice + others.twice,
      byBoth: heard.both - others.both,
      byGammaTwice:
        heard.byGammaTwice +
        others.byGammaTwice +
        (d.twiceWeighted - 2 * d.weightedSquares + d.squares) -
        (split ? 1 / rest ** 2 : 0),
    };
  };
  // Without guessing every right answer was heard; where each hears it always or never, whoever erred hears it never.
  if (chance === 0) return termAt(x);
  if (rest === 0 && m > 0) return termAt(0);
  const slope = (1 - chance) * (x * gamma - mean * rest) - chance * (rest + (m + 1) * gamma);
  const rise = (1 - chance) * x * mean * rest - chance * (rest + m * gamma);
  const mode = Math.min(x, Math.max(0, Math.ceil(peak(gamma, slope, rise))));
  const top = termAt(mode);
  const sums = new TermSums(x, m, (1 - chance) / chance, mean, gamma);
  // A falling start at k = 0 is a peak of its own.
  const atNone = mode > 0 && rise < 0 ? termAt(0) : null;
  const scale = atNone && atNone.logLik > top.logLik ? atNone.logLik : top.logLik;
  const start = Math.exp(top.logLik - scale);
  sums.add(start, 0, 0, 0, 0, 0);
  sums.walk(mode, x, start, 0, 0, 0, 0, 0);
  const lowest = sums.walk(mode, 0, start, 0, 0, 0, 0, 0);
  if (atNone && lowest > 0) {
    const first = Math.exp(atNone.logLik - scale);
    const less = (name: keyof Likelihood) => atNone[name] - top[name];
    const from = [less('byMean'), less('byGamma'), less('byMeanTwice'), less('byBoth'), less('byGammaTwice')] as const;
    sums.add(first, ...from);
    sums.walk(0, lowest - 1, first, ...from);
  }
  return sums.total(scale, top);
}

/** Where neighbours are alike: the larger root of gamma·k² − slope·k − rise; −1 where terms fall from k = 0 on. */
function peak(gamma: number, slope: number, rise: number): number {
  const under = slope * slope + 4 * gamma * rise;
  if (under < 0) return -1;
  return slope >= 0 ? (slope + Math.sqrt(under)) / (2 * gamma) : (2 * rise) / (Math.sqrt(under) - slope);
}

const logWays = (n: number, k: number) => logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1);

/** share·Π(share·(1 − gamma) + i·gamma) over i = 1 … count − 1, with derivatives of its logarithm by share and gamma. */
function ofFactor(share: number, gamma: number, count: number) {
  if (count === 0) return { log: 0, by: 0, byGamma: 0, twice: 0, both: 0, byGammaTwice: 0 };
  const rest = 1 - gamma;
  const s = risingSums(share * rest, gamma, 1, count - 1);
  return {
    log: Math.log(share) + s.logs,
    by: 1 / share + rest * s.inverses,
    byGamma: s.weighted - share * s.inverses,
    twice: -1 / share ** 2 - rest * rest * s.squares,
    both: -s.inverses - rest * (s.weightedSquares - share * s.squares),
    byGammaTwice: -(s.twiceWeighted - 2 * share * s.weightedSquares + share * share * s.squares),
  };
}

/** Adds up terms, their derivatives being counted from those of the largest, so that differences keep their digits. */
class TermSums {
  #total = 0;
  #mean = 0;
  #gamma = 0;
  #meanTwice = 0;
  #both = 0;
  #gammaTwice = 0;

  constructor(
    readonly x: number,
    readonly m: number,
    readonly odds: number,
    readonly mean: number,
    readonly gamma: number,
  ) {}

  /** A term with the derivatives of its logarithm. */
  add(term: number, a: number, g: number, aa: number, ag: number, gg: number): void {
    this.#total += term;
    this.#mean += term * a;
    this.#gamma += term * g;
    this.#meanTwice += term * (a * a + aa);
    this.#both += term * (a * g + ag);
    this.#gammaTwice += term * (g * g + gg);
  }

  /** Adds the terms beyond `from` up to `to`, in either direction, until they are negligible; returns the last k added. */
  walk(from: number, to: number, term: number, a: number, g: number, aa: number, ag: number, gg: number): number {
    const { x, m, odds, mean, gamma } = this;
    const rest = 1 - gamma;
    const up = to > from;
    let k = from;
    while (k !== to) {
      // From the lower of the two neighbours to the upper: times v/d and what guessing does.
      const low = up ? k : k - 1;
      const ways = ((x - low) / (low + 1)) * odds;
      const bare = low === 0 && m === 0;
      const v = bare ? mean : mean * rest + low * gamma;
      const d = bare ? 1 : rest + (low + m) * gamma;
      const inV = 1 / v;
      const inD = 1 / d;
      const byMean = bare ? inV : rest * inV;
      const vGamma = bare ? 0 : (low - mean) * inV;
      const dGamma = bare ? 0 : (low + m - 1) * inD;
      const sign = up ? 1 : -1;
      term *= up ? ways * v * inD : (d * inV) / ways;
      a += sign * byMean;
      g += sign * (vGamma - dGamma);
      aa -= sign * byMean * byMean;
      ag -= sign * (bare ? 0 : inV + byMean * vGamma);
      gg -= sign * (vGamma * vGamma - dGamma * dGamma);
      k += sign;
      this.add(term, a, g, aa, ag, gg);
      if (term < negligible * this.#total) break;
    }
    return k;
  }

  total(scale: number, top: Likelihood): Likelihood {
    const [a, g] = [this.#mean / this.#total, this.#gamma / this.#total];
    return {
      logLik: scale + Math.log(this.#total),
      byMean: top.byMean + a,
      byGamma: top.byGamma + g,
      byMeanTwice: top.byMeanTwice + this.#meanTwice / this.#total - a * a,
      byBoth: top.byBoth + this.#both / this.#total - a * g,
      byGammaTwice: top.byGammaTwice + this.#gammaTwice / this.#total - g * g,
    };
  }
}
