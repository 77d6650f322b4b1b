import { adjustP } from './adjust-p';
import { choice, flag, itemNames, options, probability } from './check';
import { requireEstimable } from './comparison-graph';
import { type Comparison, type CountedRow, PairCounts, readComparisons } from './comparisons';
import { logGamma, normalQuantile, normalUpper } from './distributions';
import { StatsError } from './errors';
import { fitWorths, worthCovariance } from './worth-fit';

export const tieRules = ['none', 'half'] as const;
export type TieRule = (typeof tieRules)[number];

export interface BradleyTerryInput {
  items: readonly string[];
  comparisons: readonly Comparison[];
  ties?: TieRule | undefined;
  orderEffect?: false | undefined;
  link?: 'logit' | undefined;
  level?: number | undefined;
  halfWin?: boolean | undefined;
}

export interface BradleyTerryResult {
  items: { item: string; logWorth: number; standardError: number; lower: number; upper: number; worth: number }[];
  logLik: number;
  deviance: number;
  degreesOfFreedom: number;
  pairs: BradleyTerryPair[];
}

export interface BradleyTerryPair {
  a: string;
  b: string;
  difference: number;
  standardError: number;
  lower: number;
  upper: number;
  p: number;
  pAdjusted: number;
}

/**
 * One scale from many paired comparisons: the model of Bradley and Terry, in which an item of worth πᵢ beats one of worth
 * πⱼ with probability πᵢ/(πᵢ + πⱼ).
 *
 * Use it to put three or more items in order where each was compared with some of the others. Assumes that one scale
 * serves all and that answers are independent; where listeners answer repeatedly the standard errors and p given here are
 * too small, and `listenerBootstrap` gives intervals that count listeners.
 *
 * @param input.items names, at least two
 * @param input.comparisons rows {first, second, firstWins, secondWins, ties = 0}: numbers of answers, ≥ 0; an item may
 *   occur in any number of rows
 * @param input.ties `none` (default) leaves ties out; `half` counts each as half a win each way
 * @param input.orderEffect only false is available yet
 * @param input.link only logit is available yet
 * @param input.level of the intervals, by default 0.95
 * @param input.halfWin by default false; true adds half a win each way to every two items that were compared, for an
 *   estimate where data separate: biased towards equality, to be marked wherever it is shown
 * @returns items in the order given: logWorth (sum zero), its standardError under that condition, lower and upper (Wald),
 *   worth (sum one); logLik of the answers as given, with their binomial coefficients; deviance and degreesOfFreedom
 *   against a share of its own for each row; pairs a before b: difference a − b, standardError, lower, upper, p (two-sided,
 *   Wald), pAdjusted (Holm)
 * @throws StatsError islands where comparisons don't join all items (they are named), separated where some items never
 *   lose to, or never win against, the others (they are named), not-converged, not-enough-data; also missing,
 *   unknown-option, wrong-type, out-of-range, unknown-choice, inconsistent, not-supported
 *
 * Accuracy: 1e-9 in log worths.
 * Source: Bradley & Terry (1952), Biometrika 39:324–345; Ford (1957) for when the estimate exists; Holm (1979).
 *
 * @example
 * bradleyTerry({ items: ['A', 'B'], comparisons: [{ first: 'A', second: 'B', firstWins: 9, secondWins: 3 }] })
 * // { items: [{ item: 'A', logWorth: 0.549306144334055, worth: 0.75 }, { item: 'B', worth: 0.25 }], deviance: 0 }
 */
export function bradleyTerry(input: BradleyTerryInput): BradleyTerryResult {
  options(input, ['items', 'comparisons', 'ties', 'orderEffect', 'link', 'level', 'halfWin']);
  const items = itemNames(input.items, 'items');
  const ties = choice(input.ties ?? 'none', 'ties', tieRules, ['davidson']);
  choice(input.link ?? 'logit', 'link', ['logit'], ['probit']);
  if (flag(input.orderEffect ?? false, 'orderEffect')) {
    throw new StatsError('not-supported', 'orderEffect', 'is not available yet', 'false', true);
  }
  const z = -normalQuantile((1 - probability(input.level ?? 0.95, 'level')) / 2);
  const halfWin = flag(input.halfWin ?? false, 'halfWin');
  const rows = readComparisons(input.comparisons, 'comparisons', items, ties);
  const pairs = new PairCounts(items.length, rows);
  const given = pairs.wins(rows);
  const wins = halfWin ? given.map((count) => count + 0.5) : given;
  requireEstimable(pairs, wins, items);
  const worths = fitWorths(pairs, wins);
  const covariance = worthCovariance(pairs, wins, worths);
  const cov = (i: number, j: number) => covariance[i]?.[j] ?? 0;
  const exponentials = worths.map((worth) => Math.exp(worth - Math.max(...worths)));
  const total = exponentials.reduce((sum, value) => sum + value, 0);
  return {
    items: items.map((item, i) => {
      const logWorth = worths[i] as number;
      const standardError = Math.sqrt(cov(i, i));
      const worth = (exponentials[i] as number) / total;
      return { item, logWorth, standardError, ...around(logWorth, z * standardError), worth };
    }),
    ...fitOf(rows, worths, items.length),
    pairs: differences(items, worths, cov, z),
  };
}

function fitOf(rows: readonly CountedRow[], worths: Float64Array, items: number) {
  let logLik = 0;
  let deviance = 0;
  let answered = 0;
  for (const { first, second, firstWins, secondWins } of rows) {
    const trials = firstWins + secondWins;
    if (trials === 0) continue;
    answered++;
    const difference = (worths[first] as number) - (worths[second] as number);
    const fitted = firstWins * -Math.log1p(Math.exp(-difference)) + secondWins * -Math.log1p(Math.exp(difference));
    const saturated = logShare(firstWins, trials) + logShare(secondWins, trials);
    logLik += fitted + logGamma(trials + 1) - logGamma(firstWins + 1) - logGamma(secondWins + 1);
    deviance += Math.max(0, 2 * (saturated - fitted));
  }
  return { logLik, deviance, degreesOfFreedom: answered - (items - 1) };
}

const logShare = (wins: number, trials: number) => (wins === 0 ? 0 : wins * Math.log(wins / trials));

const around = (centre: number, half: number) => ({ lower: centre - half, upper: centre + half });

function differences(
  items: readonly string[],
  worths: Float64Array,
  cov: (i: number, j: number) => number,
  z: number,
): BradleyTerryPair[] {
  const pairs = items.flatMap((a, i) =>
    items.slice(i + 1).map((b, offset) => {
      const j = i + 1 + offset;
      const difference = (worths[i] as number) - (worths[j] as number);
      const standardError = Math.sqrt(cov(i, i) + cov(j, j) - 2 * cov(i, j));
      const p = Math.min(1, 2 * normalUpper(Math.abs(difference) / standardError));
      return { a, b, difference, standardError, ...around(difference, z * standardError), p };
    }),
  );
  const adjusted = adjustP({ p: pairs.map(({ p }) => p) }).p;
  return pairs.map((pair, k) => ({ ...pair, pAdjusted: adjusted[k] as number }));
}
