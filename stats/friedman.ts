import { blockRanks, type RankTest, rankTest } from './block-ranks';
import { flag, matrix, options, seedOf, whole } from './check';
import { shuffledRanksP } from './rank-permutations';

export interface FriedmanInput {
  scores: readonly (readonly number[])[];
  higherIsBetter?: boolean | undefined;
  permutations?: number | undefined;
  seed?: number | string | undefined;
}

export interface FriedmanResult extends RankTest {
  rankSums: number[];
  kendallW: number;
  permutationP?: number;
}

/**
 * Whether listeners rank the items alike, or only as shuffling would: Friedman's test, with Kendall's W.
 *
 * Use it for rankings, and for ratings of which only the order is trusted, where every listener judged every item.
 * Assumes independent listeners, and under the null that each of them could as well have given the same ranks to the
 * items in any other order. F is the better approximation of the two; `page` is sharper where an order is expected, and
 * `rankDifferences` says which items differ.
 *
 * @param input.scores rows are at least two listeners, columns at least two items; ranks or any figures, ties allowed
 * @param input.higherIsBetter by default true: rank 1 is the highest score; false: the lowest. Only `rankSums` changes
 * @param input.permutations goes beyond the tables: 100 to 1,000,000 random shuffles of each listener's ranks, by default
 *   none
 * @param input.seed of the shuffles: 32 bits or a text, by default 1
 * @returns chiSquare, corrected for ties; degreesOfFreedom: items − 1; p: its upper tail; f = (n − 1)χ²/(n(k − 1) − χ²)
 *   for n listeners and k items, from that χ²; fP: its upper tail with k − 1 and (n − 1)(k − 1) degrees of freedom.
 *   Where all listeners give the same ranking f would be infinite: it is `null`, and fP the exact probability of that,
 *   (1/k!)ⁿ⁻¹ without ties. rankSums; kendallW = χ²/(n(k − 1)), 0 … 1, so corrected too; permutationP (only with
 *   permutations): (shuffles at least as far out + 1)/(shuffles + 1)
 * @throws StatsError no-variation where every listener ties all items; missing, unknown-option, wrong-type, out-of-range,
 *   not-enough-data, inconsistent (rows of unequal length)
 *
 * Accuracy: 1e-10 relative; χ² and F are approximations, poor for a handful of listeners, where permutations are right to
 * within their own chance.
 * Source: Friedman (1937), JASA 32:675–701; Iman & Davenport (1980), Communications in Statistics A 9:571–595; Conover
 * (1999), Practical Nonparametric Statistics, section 5.8 (ties; p where all agree; from memory); Kendall (1970), Rank
 * Correlation Methods, chapter 6.
 *
 * @example
 * friedman({ scores: [[1, 2, 3], [1, 3, 2], [1, 2, 3], [2, 1, 3]], higherIsBetter: false })
 * // { chiSquare: 4.5, p: 0.105399224561864, f: 3.85714285714286, fP: 0.083740234375, rankSums: [5, 8, 11], kendallW: 0.5625 }
 */
export function friedman(input: FriedmanInput): FriedmanResult {
  options(input, ['scores', 'higherIsBetter', 'permutations', 'seed']);
  const scores = matrix(input.scores, 'scores', { rows: 2, columns: 2 });
  const ranks = blockRanks(scores, flag(input.higherIsBetter ?? true, 'higherIsBetter'));
  const seed = seedOf(input.seed ?? 1);
  const result = {
    ...rankTest(ranks),
    rankSums: ranks.rankSums,
    kendallW: ranks.between / (scores.length * ranks.within),
  };
  if (input.permutations === undefined) return result;
  const permutations = whole(input.permutations, 'permutations', { min: 100, max: 1_000_000 });
  return { ...result, permutationP: shuffledRanksP(ranks, permutations, seed) };
}
