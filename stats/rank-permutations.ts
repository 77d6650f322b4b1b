import type { BlockRanks } from './block-ranks';
import { type SeededRandom, seededRandom } from './seeded-random';

/**
 * The permutation test of complete rankings, every listener's ranks shuffled among the items: ties stay as they are, and
 * the statistic is the sum of the squared rank sums, which grows with Friedman's χ², since ties don't change. Whole
 * numbers, so equal is equal.
 *
 * @returns (shuffles at least as far out + 1)/(shuffles + 1) (Phipson & Smyth 2010, Statistical Applications in Genetics
 *   and Molecular Biology 9, art. 39)
 */
export function shuffledRanksP(ranks: BlockRanks, permutations: number, seed: number | string): number {
  const items = ranks.blockSize;
  const cells = Int32Array.from(ranks.deviations.flat(), (deviation) => deviation ?? 0);
  const sums = new Int32Array(items);
  const random = seededRandom(seed);
  let far = 0;
  for (let n = 0; n < permutations; n++) {
    sums.fill(0);
    for (let start = 0; start < cells.length; start += items) {
      // Fisher–Yates from the last item down, adding each cell as it is settled; any order is a fair start for the next.
      for (let j = items - 1; j > 0; j--) {
        const from = start + below(random, j + 1);
        const settled = cells[from] as number;
        cells[from] = cells[start + j] as number;
        cells[start + j] = settled;
        sums[j] = (sums[j] as number) + settled;
      }
      sums[0] = (sums[0] as number) + (cells[start] as number);
    }
    let squares = 0;
    for (let j = 0; j < items; j++) squares += (sums[j] as number) ** 2;
    if (squares >= ranks.between) far++;
  }
  return (far + 1) / (permutations + 1);
}

/**
 * A whole number from 0 to n − 1, each equally likely, by multiplying instead of dividing (Lemire 2019, ACM Transactions
 * on Modeling and Computer Simulation 29(1), art. 3): it's the innermost loop of a million shuffles.
 */
function below(random: SeededRandom, n: number): number {
  let product = random.word() * n;
  if (product >>> 0 < n) {
    const uneven = 0x100000000 % n;
    while (product >>> 0 < uneven) product = random.word() * n;
  }
  return Math.floor(product / 0x100000000);
}
