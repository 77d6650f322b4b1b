import { blockRanks, type RankTest, rankTest } from './block-ranks';
import { flag, gappedMatrix, options } from './check';
import { StatsError } from './errors';

export interface DurbinInput {
  scores: readonly (readonly (number | null)[])[];
  higherIsBetter?: boolean | undefined;
}

export interface DurbinResult extends RankTest {
  rankSums: number[];
}

/**
 * Whether listeners rank the items alike where each judged only some of them: Durbin's test for balanced incomplete blocks.
 *
 * Use it where there are more items than one listener can rank in a sitting and the serving plan is balanced: every
 * listener judged as many items, every item was judged as often, every two items met equally often. With complete blocks
 * it is Friedman's test. Assumes independent blocks, and under the null that any other order within a block was as likely.
 *
 * @param input.scores rows are blocks (what one listener judged side by side), at least two, columns items; ranks or any
 *   figures, ties allowed; null where the item was not served
 * @param input.higherIsBetter by default true: rank 1 of a block is its highest score; false: the lowest. Only `rankSums`
 *   changes
 * @returns chiSquare (T₁), corrected for ties; degreesOfFreedom: items − 1; p: its upper tail; f (T₂), from that χ²; fP:
 *   its upper tail with t − 1 and bk − b − t + 1 degrees of freedom for b blocks of k out of t items. Where complete
 *   blocks all give the same ranking, f is `null` and fP exact, as in `friedman`. rankSums: sums of the ranks within blocks
 * @throws StatsError inconsistent where the plan is not balanced (it says in what), no-variation where every block ties
 *   its items, or where incomplete blocks agree without residue (only with ties); missing, unknown-option, wrong-type,
 *   out-of-range, not-enough-data
 *
 * Accuracy: 1e-10 relative; χ² and F are approximations.
 * Source: Durbin (1951), British Journal of Psychology, Statistical Section 4:85–90; Conover (1999), Practical
 * Nonparametric Statistics, section 5.9 (ties and T₂; formulas from memory).
 *
 * @example
 * durbin({ scores: [[1, 2, null], [1, null, 2], [null, 1, 2], [2, 1, null], [1, null, 2], [null, 1, 2]], higherIsBetter: false })
 * // { chiSquare: 4, degreesOfFreedom: 2, p: 0.135335283236613, f: 4, fP: 0.111111111111111, rankSums: [5, 5, 8] }
 */
export function durbin(input: DurbinInput): DurbinResult {
  options(input, ['scores', 'higherIsBetter']);
  const scores = gappedMatrix(input.scores, 'scores', { rows: 2, columns: 2 });
  const higherIsBetter = flag(input.higherIsBetter ?? true, 'higherIsBetter');
  requireBalanced(scores);
  const ranks = blockRanks(scores, higherIsBetter);
  return { ...rankTest(ranks), rankSums: ranks.rankSums };
}

type Scores = readonly (readonly (number | null)[])[];

/** Refuses a plan whose blocks, items or pairs of items are not served equally often. */
function requireBalanced(scores: Scores): void {
  const served = scores.map((row) => row.flatMap((score, j) => (score === null ? [] : [j])));
  const size = served[0]?.length ?? 0;
  if (size < 2) {
    throw new StatsError('not-enough-data', 'scores.0', 'has too few scores', 'at least 2 items in a block', size);
  }
  const odd = served.findIndex((block) => block.length !== size);
  if (odd >= 0) {
    const wrong = 'is a block of another size';
    throw new StatsError('inconsistent', `scores.${odd}`, wrong, `${size} scores as in row 0`, served[odd]?.length);
  }
  const items = scores[0]?.length ?? 0;
  const often = new Array<number>(items).fill(0);
  const met = new Map<number, number>();
  for (const block of served) {
    block.forEach((a, i) => {
      often[a] = (often[a] as number) + 1;
      for (const b of block.slice(i + 1)) met.set(a * items + b, (met.get(a * items + b) ?? 0) + 1);
    });
  }
  often.forEach((times, j) => {
    if (times === often[0]) return;
    const came = `item ${j + 1} ${times} times, item 1 ${often[0]} times`;
    throw new StatsError('inconsistent', 'scores', 'serve one item more often than another', 'equal servings', came);
  });
  const first = met.get(1) ?? 0;
  for (let a = 0; a < items; a++) {
    for (let b = a + 1; b < items; b++) {
      const times = met.get(a * items + b) ?? 0;
      if (times === first) continue;
      const came = `items ${a + 1} and ${b + 1} ${times} times, items 1 and 2 ${first} times`;
      const wrong = 'let some items meet more often than others';
      throw new StatsError('inconsistent', 'scores', wrong, 'every two items together equally often', came);
    }
  }
}
