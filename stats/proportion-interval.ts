import { choice, counts, options, probability } from './check';
import { crossing } from './crossing';
import { betaQuantile, binomialCdfFrom, binomialPmf, binomialUpperFrom, normalQuantile } from './distributions';

export const proportionIntervalMethods = ['clopper-pearson', 'wilson', 'jeffreys', 'mid-p', 'agresti-coull'] as const;
export type ProportionIntervalMethod = (typeof proportionIntervalMethods)[number];

export interface ProportionIntervalInput {
  correct: number;
  trials: number;
  level?: number | undefined;
  method?: ProportionIntervalMethod | undefined;
}

export interface Interval {
  lower: number;
  upper: number;
}

/**
 * The range of true shares that so many right answers leave open.
 *
 * Use `clopper-pearson` where the level must never be missed (what the tool shows), `mid-p` or `wilson` where it may be
 * kept on average. Assumes independent trials with one true share. Every method holds the share seen at levels of 0.5 and
 * more, and is narrower for more trials with the same share.
 *
 * @param input.correct a whole number from 0 to `trials`
 * @param input.trials at least 1
 * @param input.level two-sided level, between 0 and 1, by default 0.95
 * @param input.method clopper-pearson (default), wilson, jeffreys (lower 0 at 0 right, upper 1 at all right), mid-p,
 *   agresti-coull (cut to 0 … 1)
 * @returns lower and upper limit, each tail holding half of 1 − level: clopper-pearson at most so much whatever the true
 *   share, mid-p counting half of the probability of the count seen, the others nearly
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-10 relative up to 1e6 trials and a level of 0.99999, mostly 1e-13.
 * Source: Clopper & Pearson (1934), Biometrika 26:404; Wilson (1927), JASA 22:209; Agresti & Coull (1998), American
 * Statistician 52:119; Brown, Cai & DasGupta (2001), Statistical Science 16:101, section 3.1 (Jeffreys at the ends).
 *
 * @example
 * proportionInterval({ correct: 12, trials: 16, method: 'wilson' })
 * // { lower: 0.505016834644912, upper: 0.89817932508787 }
 */
export function proportionInterval(input: ProportionIntervalInput): Interval {
  options(input, ['correct', 'trials', 'level', 'method']);
  const { correct, trials } = counts(input.correct, input.trials);
  const level = probability(input.level ?? 0.95, 'level');
  const method = choice(input.method ?? 'clopper-pearson', 'method', proportionIntervalMethods);
  const tail = (1 - level) / 2;
  if (method === 'clopper-pearson') return clopperPearson(correct, trials, level);
  if (method === 'wilson') return wilson(correct, trials, tail);
  if (method === 'agresti-coull') return agrestiCoull(correct, trials, tail);
  if (method === 'jeffreys') {
    const a = correct + 0.5;
    const b = trials - correct + 0.5;
    return {
      lower: correct === 0 ? 0 : betaQuantile(tail, a, b),
      upper: correct === trials ? 1 : betaQuantile(1 - tail, a, b),
    };
  }
  return midP(correct, trials, tail);
}

/** Clopper and Pearson's interval without checks; counts need not be whole, as Korn and Graubard (1998) use it. */
export function clopperPearson(correct: number, trials: number, level: number): Interval {
  const tail = (1 - level) / 2;
  const wrong = trials - correct;
  return {
    lower: correct <= 0 ? 0 : betaQuantile(tail, correct, wrong + 1),
    upper: wrong <= 0 ? 1 : betaQuantile(1 - tail, correct + 1, wrong),
  };
}

/** The larger limit as usual; the smaller from the product of the two, since the difference would cancel near 0. */
function wilson(correct: number, trials: number, tail: number): Interval {
  const square = normalQuantile(tail) ** 2;
  const n = trials + square;
  const root = Math.sqrt(square * ((correct * (trials - correct)) / trials + square / 4));
  const upper = (correct + square / 2 + root) / n;
  return {
    lower: correct === 0 ? 0 : correct ** 2 / (trials * n * upper),
    upper: correct === trials ? 1 : Math.min(1, upper),
  };
}

function agrestiCoull(correct: number, trials: number, tail: number): Interval {
  const z = normalQuantile(tail);
  const n = trials + z * z;
  const centre = (correct + (z * z) / 2) / n;
  const half = -z * Math.sqrt((centre * (1 - centre)) / n);
  return { lower: Math.max(0, centre - half), upper: Math.min(1, centre + half) };
}

function midP(correct: number, trials: number, tail: number): Interval {
  const beyond = (share: number, sum: typeof binomialUpperFrom) => {
    const seen = binomialPmf(correct, trials, share);
    return sum(seen, correct, trials, share) - seen / 2;
  };
  return {
    lower: correct === 0 ? 0 : crossing(0, 1, (share) => beyond(share, binomialUpperFrom) >= tail),
    upper: correct === trials ? 1 : crossing(0, 1, (share) => beyond(share, binomialCdfFrom) < tail),
  };
}
