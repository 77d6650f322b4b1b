import { itemNames, options, probability } from './check';
import { comparisonLikelihood } from './comparison-likelihood';
import { type ComparisonModelInput, comparisonModel } from './comparison-model';
import { type Comparison, readComparisons } from './comparisons';
import { normalQuantile } from './distributions';
import { requireEstimable } from './estimable';
import { PairCounts } from './pair-counts';
import { around, type WorthDifference, waldP, worthDifferences } from './worth-differences';
import { centred, WorthFit } from './worth-fit';

export interface BradleyTerryInput extends ComparisonModelInput {
  items: readonly string[];
  comparisons: readonly Comparison[];
  level?: number | undefined;
}

export interface BradleyTerryResult {
  items: {
    item: string;
    logWorth: number;
    standardError: number;
    lower: number;
    upper: number;
    worth: number | null;
  }[];
  orderEffect: { logWorth: number; standardError: number; p: number } | null;
  tieParameter: { nu: number; logNu: number; standardError: number } | null;
  logLik: number;
  deviance: number;
  degreesOfFreedom: number;
  pairs: WorthDifference[];
}

/**
 * One scale from many paired comparisons: the model of Bradley and Terry, in which an item of worth πᵢ beats one of worth
 * πⱼ with probability πᵢ/(πᵢ + πⱼ); where asked for with ties after Davidson, with an effect of being heard first, or with
 * Thurstone's normal curve (case V).
 *
 * Use it to put three or more items in order where each was compared with some of the others. Assumes that one scale
 * serves all and that answers are independent; where listeners answer repeatedly the standard errors and p given here are
 * too small, and `listenerBootstrap` gives intervals that count listeners. A first item weighs πᵢ, a second γπⱼ (γ = 1
 * without order effect), a tie ν√(πᵢπⱼ) (ν = 0 without Davidson), and probabilities are as these weights. With probit the
 * first wins with probability Φ(λᵢ − λⱼ − log γ): the standard deviation of a difference is 1.
 *
 * @param input.items names, at least two
 * @param input.comparisons rows {first, second, firstWins, secondWins, ties = 0}: numbers of answers, ≥ 0; an item may
 *   occur in any number of rows
 * @param input.ties `none` (default) leaves ties out; `half` counts each as half a win each way; `davidson` estimates ν,
 *   with logit only
 * @param input.orderEffect true estimates γ too; by default false
 * @param input.link logit (default) or probit, which has no form with ties; none and half only treat the counts
 * @param input.level of the intervals, by default 0.95
 * @param input.halfWin by default false; true adds half an answer to each outcome (a win each way, and with davidson a
 *   tie) of every two items with an answer, with orderEffect in every order in which they have one; for an estimate where
 *   data separate: biased towards equality, to be marked wherever it is shown
 * @returns items in the order given: logWorth (sum zero; with probit the scale value), its standardError under that
 *   condition, lower and upper (Wald), worth (sum one; `null` with probit, whose scale has no ratios); orderEffect:
 *   logWorth of being first, −log γ, above zero where the first is favoured, standardError, p (two-sided, Wald), or `null`
 *   unless asked for; tieParameter: nu, logNu, standardError (of logNu), or `null` unless davidson; logLik of the answers
 *   as given, with their multinomial coefficients; deviance and degreesOfFreedom against shares of its own for each row
 *   that was answered: one free share a row, with davidson two; pairs a before b: difference a − b, standardError, lower,
 *   upper, p (two-sided, Wald), pAdjusted (Holm). Standard errors are from the expected information
 * @throws StatsError islands where comparisons don't join all items (they are named); separated where no finite estimate
 *   exists: some items never lose to, or never win against, the others, a tie counting as both with davidson (they are
 *   named), the order effect explains answers without end (they are named), no tie occurred or hardly anything else
 *   (davidson); not-identified where nothing tells the order effect from the worths, as when each pair was heard in one
 *   order and no ring of pairs goes round (levels of items are named); inconsistent for davidson with probit;
 *   not-converged, not-enough-data; also missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-9 in log worths, and in standard errors where no pair has a million times as many answers as another.
 * Source: Bradley & Terry (1952), Biometrika 39:324–345; Davidson (1970), JASA 65:317–328 (ties); Davidson & Beaver
 * (1977), Biometrics 33:693–702 (order, and both); Thurstone (1927), Psychological Review 34:273–286; Ford (1957) for when
 * the estimate exists, extended in `findObstacle`; Holm (1979).
 *
 * @example
 * bradleyTerry({ items: ['A', 'B'], comparisons: [{ first: 'A', second: 'B', firstWins: 9, secondWins: 3 }] })
 * // { items: [{ item: 'A', logWorth: 0.549306144334055, worth: 0.75 }, { item: 'B', worth: 0.25 }], deviance: 0 }
 */
export function bradleyTerry(input: BradleyTerryInput): BradleyTerryResult {
  options(input, ['items', 'comparisons', 'ties', 'orderEffect', 'link', 'level', 'halfWin']);
  const items = itemNames(input.items, 'items');
  const { ties, model, halfWin } = comparisonModel(input);
  const z = -normalQuantile((1 - probability(input.level ?? 0.95, 'level')) / 2);
  const rows = readComparisons(input.comparisons, 'comparisons', items, ties);
  const pairs = new PairCounts(items.length, [rows], model.order);
  const given = pairs.add(rows);
  const counts = halfWin ? pairs.withHalves(given, model.tied) : given;
  requireEstimable(pairs, counts, model, items, 'comparisons');
  const fit = new WorthFit(pairs, model);
  fit.fit(counts, model);
  const { worths, cov, order, tie } = estimates(fit.theta, fit.covariance(counts), items.length);
  const shares = model.link === 'logit' ? sharesOf(worths) : null;
  const { logLik, deviance, answered } = comparisonLikelihood(rows, pairs, fit.theta, model);
  const free = model.tied ? 2 : 1;
  return {
    items: items.map((item, i) => {
      const logWorth = worths[i] as number;
      const standardError = Math.sqrt(cov(i, i));
      return { item, logWorth, standardError, ...around(logWorth, z * standardError), worth: shares?.[i] ?? null };
    }),
    orderEffect: model.order ? { ...order, p: waldP(order.logWorth, order.standardError) } : null,
    tieParameter: model.tied ? { nu: Math.exp(tie.logNu), ...tie } : null,
    logLik,
    deviance,
    degreesOfFreedom: free * answered - (items.length - 1) - Number(model.order) - Number(model.tied),
    pairs: worthDifferences(items, worths, cov, z),
  };
}

/** The parameters of a fit with log worths that sum to zero, and what varies how together under that condition. */
function estimates(theta: Float64Array, covariance: Float64Array, n: number) {
  const size = n + 2;
  const raw = (i: number, j: number) => covariance[i * size + j] as number;
  const means = Float64Array.from({ length: n }, (_, i) => covariance.subarray(i * size, i * size + n).reduce(add) / n);
  const mean = means.reduce(add) / n;
  return {
    worths: centred(theta.subarray(0, n)),
    cov: (i: number, j: number) => raw(i, j) - (means[i] as number) - (means[j] as number) + mean,
    order: { logWorth: 0 - (theta[n] as number), standardError: Math.sqrt(raw(n, n)) },
    tie: { logNu: theta[n + 1] as number, standardError: Math.sqrt(raw(n + 1, n + 1)) },
  };
}

function sharesOf(worths: Float64Array): Float64Array {
  const largest = worths.reduce((a, b) => Math.max(a, b));
  const weights = worths.map((worth) => Math.exp(worth - largest));
  const total = weights.reduce(add);
  return weights.map((weight) => weight / total);
}

const add = (a: number, b: number) => a + b;
