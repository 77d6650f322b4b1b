import { chiSquareUpper, fUpper } from './distributions';
import { StatsError } from './errors';
import { midRanks } from './ranks';

/**
 * Ranks within blocks of equal size: a block is what one listener judged side by side. They are kept as deviations from
 * the mean rank, times two, which are whole numbers even for mid-ranks: sums of squares are exact, and perfect agreement
 * is told from near agreement without rounding.
 */
export interface BlockRanks {
  /** 2·rank − (items in the block + 1), one row a block; null where not served. */
  deviations: (number | null)[][];
  blockSize: number;
  /** Sum of the ranks of each item, rank 1 being the best. */
  rankSums: number[];
  /** Σ deviation² over all cells; 0 where everything is tied. */
  within: number;
  /** Σ (sum of an item's deviations)² over the items. */
  between: number;
}

export function blockRanks(scores: readonly (readonly (number | null)[])[], higherIsBetter: boolean): BlockRanks {
  const items = scores[0]?.length ?? 0;
  const sums = new Array<number>(items).fill(0);
  const served = new Array<number>(items).fill(0);
  let blockSize = 0;
  let within = 0;
  const deviations = scores.map((row) => {
    const values = row.filter((score) => score !== null);
    const { ranks } = midRanks(values);
    blockSize = values.length;
    let next = 0;
    return row.map((score, j) => {
      if (score === null) return null;
      const up = 2 * (ranks[next++] as number) - (values.length + 1);
      const deviation = higherIsBetter ? -up : up;
      within += deviation * deviation;
      sums[j] = (sums[j] as number) + deviation;
      served[j] = (served[j] as number) + 1;
      return deviation;
    });
  });
  return {
    deviations,
    blockSize,
    rankSums: sums.map((sum, j) => (sum + (served[j] as number) * (blockSize + 1)) / 2),
    within,
    between: sums.reduce((total, sum) => total + sum * sum, 0),
  };
}

export interface RankTest {
  chiSquare: number;
  degreesOfFreedom: number;
  p: number;
  f: number | null;
  fP: number;
}

/**
 * Durbin's χ² and the F that follows from it, for complete blocks Friedman's and Iman and Davenport's, corrected for ties:
 * T₁ = (t − 1)·Σ(R − mean)²/Σ(r − mean)² over b blocks of k out of t items, T₂ = T₁/(t − 1) ÷ (b(k − 1) − T₁)/ν with
 * ν = b(k − 1) − (t − 1). Without checks of the design.
 *
 * @throws StatsError no-variation where all is tied, or where incomplete blocks leave F nothing to divide by
 */
export function rankTest(ranks: BlockRanks): RankTest {
  const { within, between } = ranks;
  const blocks = ranks.deviations.length;
  const items = ranks.rankSums.length;
  if (within === 0) {
    const wrong = 'are all tied, so no ranking is left to test';
    throw new StatsError('no-variation', 'scores', wrong, 'a listener who tells two items apart', 'ties only');
  }
  const degreesOfFreedom = items - 1;
  const chiSquare = (degreesOfFreedom * between) / within;
  const p = chiSquareUpper(chiSquare, degreesOfFreedom);
  const rest = residual(ranks);
  const denominator = blocks * (ranks.blockSize - 1) - degreesOfFreedom;
  if (rest > 0) {
    const f = (denominator * between) / rest;
    return { chiSquare, degreesOfFreedom, p, f, fP: fUpper(f, degreesOfFreedom, denominator) };
  }
  if (ranks.blockSize < items) {
    const wrong = 'agree without any residue, so F has nothing to divide by';
    throw new StatsError('no-variation', 'scores', wrong, 'blocks that differ in what they say', 'perfect agreement');
  }
  return { chiSquare, degreesOfFreedom, p, f: null, fP: sameRankingP(ranks) };
}

/**
 * What the items leave unexplained of the ranks: b(k − 1)·within − (t − 1)·between, for complete blocks divided by t − 1
 * the residual sum of squares of the ranks times 4. Exactly 0 at perfect agreement.
 */
export function residual({ deviations, blockSize, rankSums, within, between }: BlockRanks): number {
  const most = deviations.length * (blockSize - 1) * within;
  const rest = most - (rankSums.length - 1) * between;
  // Whole numbers below 2^53 are exact; of larger ones only rounding is taken for 0.
  return rest <= 4 * Number.EPSILON * most ? 0 : rest;
}

/** Probability that all listeners give the same ranking, ties included, when each shuffles the ranks of their own. */
function sameRankingP({ deviations }: BlockRanks): number {
  const ties = new Map<number | null, number>();
  for (const deviation of deviations[0] ?? []) ties.set(deviation, (ties.get(deviation) ?? 0) + 1);
  let rankings = 1;
  let placed = 0;
  for (const size of ties.values()) {
    for (let i = 1; i <= size; i++) rankings = (rankings * ++placed) / i;
  }
  return (1 / rankings) ** (deviations.length - 1);
}
