import { matrixOf, options, whole } from './check';
import { normalUpper } from './distributions';
import { StatsError } from './errors';

export interface FleissKappaInput {
  counts: readonly (readonly number[])[];
}

export interface FleissKappaResult {
  kappa: number;
  standardError: number;
  p: number;
  byCategory: (number | null)[];
}

/**
 * How far many raters put the same things into the same categories, beyond what chance would give: Fleiss' kappa.
 *
 * Use it where every thing was rated by the same number of raters, not necessarily the same people. Assumes things rated
 * independently of each other; with gaps, or with an order among the categories, see `krippendorffAlpha`.
 *
 * @param input.counts one row a subject, one column a category: how many raters put it there. At least 2 rows and
 *   2 columns; all rows with the same sum, at least 2
 * @returns kappa; standardError under the null of no agreement beyond chance; p, two-sided from the normal distribution;
 *   byCategory: kappa of each category against all others, `null` for one that nobody used
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (rows of unequal
 *   length or sum), no-variation (one category holds everything)
 *
 * Accuracy: 1e-12 relative.
 * Source: Fleiss (1971), Psychological Bulletin 76:378–382; standard error of Fleiss, Nee & Landis (1979), Psychological
 * Bulletin 86:974–977 (formula from memory, checked against R).
 *
 * @example
 * fleissKappa({ counts: [[4, 0], [3, 1], [0, 4], [1, 3], [4, 0]] })
 * // { kappa: 0.583333333333333, standardError: 0.182574185835055, p: 0.00139807464121156, byCategory: [0.583333333333333, 0.583333333333333] }
 */
export function fleissKappa(input: FleissKappaInput): FleissKappaResult {
  options(input, ['counts']);
  const counts = matrixOf(input.counts, 'counts', { rows: 2, columns: 2, of: 'counts' }, (cell, path) =>
    whole(cell, path, { min: 0, max: 1e6 }),
  );
  const raters = total(counts[0] ?? []);
  if (raters < 2) {
    const wrong = 'has too few ratings';
    throw new StatsError('not-enough-data', 'counts.0', wrong, 'at least 2 raters a subject', raters);
  }
  const unequal = counts.findIndex((row) => total(row) !== raters);
  if (unequal >= 0) {
    const allowed = `${raters} ratings as in row 0`;
    const got = total(counts[unequal] ?? []);
    throw new StatsError('inconsistent', `counts.${unequal}`, 'differs in its sum', allowed, got);
  }
  const subjects = counts.length;
  const ratings = subjects * raters;
  const used = (counts[0] ?? []).map((_, j) => total(counts.map((row) => row[j] as number)));
  // In counts, not shares, so that 0 and 1 come out as such: ratings split from another's of the same subject, and ratings
  // that any other two would split.
  const seen = used.map((_, j) => total(counts.map((row) => (row[j] as number) * (raters - (row[j] as number)))));
  const chance = used.map((count) => count * (ratings - count));
  const mixed = total(chance);
  if (mixed === 0) {
    const wrong = 'fall into one category only, so chance alone would agree as well';
    throw new StatsError('no-variation', 'counts', wrong, 'at least two categories in use', 'one');
  }
  const agreement = (split: number, expected: number) => 1 - (split * ratings) / ((raters - 1) * expected);
  const kappa = agreement(total(seen), mixed);
  const shares = used.filter((count) => count > 0).map((count) => count / ratings);
  const standardError = (Math.sqrt((2 * nullSpread(shares)) / (ratings * (raters - 1))) * ratings ** 2) / mixed;
  return {
    kappa,
    standardError,
    p: Math.min(1, 2 * normalUpper(Math.abs(kappa) / standardError)),
    byCategory: used.map((count, j) => (count === 0 ? null : agreement(seen[j] as number, chance[j] as number))),
  };
}

const total = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);

/**
 * (Σpq)² − Σpq(q − p), q being 1 − p, multiplied out until only sums of positive terms are left, Σᵢpᵢ²·(Σ over pairs of
 * the others of 2pⱼpₗ) + 4·Σ over pairs of pᵢ²pⱼ²: the difference itself loses all digits where one category holds
 * nearly everything.
 */
function nullSpread(shares: readonly number[]): number {
  let spread = 0;
  shares.forEach((own, i) => {
    let before = 0;
    let pairs = 0;
    shares.forEach((other, j) => {
      if (j === i) return;
      pairs += before * other;
      before += other;
      if (j > i) spread += 4 * (own * other) ** 2;
    });
    spread += 2 * own ** 2 * pairs;
  });
  return spread;
}
