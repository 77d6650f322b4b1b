import { pairs } from './check';
import { StatsError } from './errors';
import { largest, mean, onlyRounding, squaresAroundMean } from './moments';

export interface PairedDifferences {
  /** Mean of first − second. */
  difference: number;
  standardDeviation: number;
  standardError: number;
  degreesOfFreedom: number;
}

/**
 * What a t test of pairs rests on, from checked input: at least two pairs, whose differences vary by more than rounding
 * leaves (0.3 − 0.2 and 0.2 − 0.1 are alike). Without spread t would be infinite or undefined.
 */
export function pairedDifferences(first: unknown, second: unknown): PairedDifferences {
  const paired = pairs(first, second, 2);
  const differences = paired.first.map((value, i) => value - (paired.second[i] as number));
  const n = differences.length;
  const squares = squaresAroundMean(differences);
  if (onlyRounding(squares, n, Math.max(largest(paired.first), largest(paired.second)))) {
    const got = `${n} times ${differences[0]}`;
    throw new StatsError(
      'no-variation',
      'first',
      'differs from second alike in every pair',
      'differences that vary',
      got,
    );
  }
  const standardDeviation = Math.sqrt(squares / (n - 1));
  return {
    difference: mean(differences),
    standardDeviation,
    standardError: standardDeviation / Math.sqrt(n),
    degreesOfFreedom: n - 1,
  };
}
