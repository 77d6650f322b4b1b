import { adjusted } from './adjust-p';
import { normalUpper } from './distributions';

export interface WorthDifference {
  a: string;
  b: string;
  difference: number;
  standardError: number;
  lower: number;
  upper: number;
  p: number;
  pAdjusted: number;
}

/** Two-sided p of Wald's test that an estimate is zero. */
export const waldP = (estimate: number, standardError: number): number =>
  Math.min(1, 2 * normalUpper(Math.abs(estimate) / standardError));

/** A Wald interval, given the half of it. */
export const around = (centre: number, half: number) => ({ lower: centre - half, upper: centre + half });

/** Differences a − b of all pairs of items, a before b, with p adjusted after Holm over all of them. */
export function worthDifferences(
  items: readonly string[],
  worths: Float64Array,
  cov: (i: number, j: number) => number,
  z: number,
): WorthDifference[] {
  const pairs = items.flatMap((a, i) =>
    items.slice(i + 1).map((b, offset) => {
      const j = i + 1 + offset;
      const difference = (worths[i] as number) - (worths[j] as number);
      const standardError = Math.sqrt(cov(i, i) + cov(j, j) - 2 * cov(i, j));
      const p = waldP(difference, standardError);
      return { a, b, difference, standardError, ...around(difference, z * standardError), p };
    }),
  );
  const byHolm = adjusted(
    pairs.map(({ p }) => p),
    'holm',
  );
  return pairs.map((pair, k) => ({ ...pair, pAdjusted: byHolm[k] as number }));
}
