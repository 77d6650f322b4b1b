import { choice, counts, options, probability } from './check';
import { betaQuantile, binomialCdf, binomialPmf, binomialUpper, normalQuantile } from './distributions';

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
 * kept on average. Assumes independent trials with one true share.
 *
 * @param input.correct a whole number from 0 to `trials`
 * @param input.trials at least 1
 * @param input.level two-sided level, between 0 and 1, by default 0.95
 * @param input.method clopper-pearson (default), wilson, jeffreys (lower 0 at 0 right, upper 1 at all right), mid-p,
 *   agresti-coull (cut to 0 … 1)
 * @returns lower and upper limit, both tails holding half of 1 − level
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-12 relative; mid-p 1e-12 absolute (bisection).
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

function wilson(correct: number, trials: number, tail: number): Interval {
  const z = normalQuantile(tail);
  const centre = (correct + (z * z) / 2) / (trials + z * z);
  const half = (-z / (trials + z * z)) * Math.sqrt((correct * (trials - correct)) / trials + (z * z) / 4);
  return {
    lower: correct === 0 ? 0 : Math.max(0, centre - half),
    upper: correct === trials ? 1 : Math.min(1, centre + half),
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
  const half = (share: number) => binomialPmf(correct, trials, share) / 2;
  return {
    lower: correct === 0 ? 0 : crossing((share) => binomialUpper(correct + 1, trials, share) + half(share) >= tail),
    upper: correct === trials ? 1 : crossing((share) => binomialCdf(correct - 1, trials, share) + half(share) < tail),
  };
}

/** The share at which a condition that fails below and holds above begins to hold. */
function crossing(holds: (share: number) => boolean): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 200 && high - low > 0; i++) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
