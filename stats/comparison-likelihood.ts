import type { ComparisonModel } from './comparison-model';
import type { ComparisonRows } from './comparisons';
import { logGamma } from './distributions';
import type { PairCounts } from './pair-counts';
import { logShares } from './pair-outcome';

/**
 * Log-likelihood of the rows with their multinomial coefficients, and the deviance from a model in which each row has
 * shares of its own. Rows without an answer are left out; `answered` counts the others.
 */
export function comparisonLikelihood(
  rows: ComparisonRows,
  pairs: PairCounts,
  theta: Float64Array,
  model: ComparisonModel,
): { logLik: number; deviance: number; answered: number } {
  const shares = entryShares(pairs, theta, model);
  let logLik = 0;
  let deviance = 0;
  let answered = 0;
  for (let r = 0; r < rows.first.length; r++) {
    const firstWins = rows.counts[3 * r] as number;
    const secondWins = rows.counts[3 * r + 1] as number;
    const ties = rows.counts[3 * r + 2] as number;
    const answers = firstWins + secondWins + ties;
    if (answers === 0) continue;
    answered++;
    const first = rows.first[r] as number;
    const second = rows.second[r] as number;
    const at = 3 * pairs.entry(first, second);
    const turned = pairs.turned(first, second) ? 1 : 0;
    const fitted =
      weighed(firstWins, shares[at + turned] as number) +
      weighed(secondWins, shares[at + 1 - turned] as number) +
      weighed(ties, shares[at + 2] as number);
    logLik += fitted;
    // A row with one kind of answer is its own best fit, with probability 1 and one way to come out.
    if (answers === firstWins || answers === secondWins || answers === ties) {
      deviance -= 2 * fitted;
      continue;
    }
    const own = ownShare(firstWins, answers) + ownShare(secondWins, answers) + ownShare(ties, answers);
    deviance += Math.max(0, 2 * (own - fitted));
    logLik += logGamma(answers + 1) - logGamma(firstWins + 1) - logGamma(secondWins + 1) - logGamma(ties + 1);
  }
  return { logLik, deviance, answered };
}

/** The log probabilities of each entry's three outcomes. */
function entryShares(pairs: PairCounts, theta: Float64Array, model: ComparisonModel): Float64Array {
  const out = new Float64Array(3 * pairs.first.length);
  const own = new Float64Array(3);
  const gamma = theta[pairs.items] as number;
  const tie = (theta[pairs.items + 1] as number) - gamma / 2;
  for (let k = 0; k < pairs.first.length; k++) {
    const [first, second] = [pairs.first[k] as number, pairs.second[k] as number];
    logShares(own, model, ((theta[first] as number) - (theta[second] as number) - gamma) / 2, tie);
    out.set(own, 3 * k);
  }
  return out;
}

const weighed = (count: number, logShare: number) => (count === 0 ? 0 : count * logShare);
const ownShare = (count: number, of: number) => (count === 0 ? 0 : count * Math.log(count / of));
