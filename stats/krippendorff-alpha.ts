import { type Category, category, expectOneKind } from './categories';
import { choice, figure, matrixOf, number, options } from './check';
import { StatsError } from './errors';
import { largest, onlyRounding, squaresAroundMean, sum } from './moments';
import { midRanks } from './ranks';

export const measurementLevels = ['nominal', 'ordinal', 'interval', 'ratio'] as const;
export type MeasurementLevel = (typeof measurementLevels)[number];

export interface KrippendorffAlphaInput {
  ratings: readonly (readonly (Category | null)[])[];
  level: MeasurementLevel;
}

/**
 * How far any number of raters agree beyond chance, gaps allowed, on any level of measurement: Krippendorff's alpha.
 *
 * Use it where raters skipped items, or where categories have an order or distances. Items rated once or never say nothing
 * about agreement and are left out. Assumes items rated independently of each other.
 *
 * @param input.ratings one row a rater, one column an item, `null` where missing; at least 2 of each, at least 2 items
 *   rated twice or more. Numbers; texts at the nominal level only, and then nothing but texts
 * @param input.level how far two values are apart: `nominal`, same or not; `ordinal`, by the ranks between them; `interval`,
 *   by their difference; `ratio`, by difference/sum (values not negative; two zeros are alike). Always to be given
 * @returns alpha = 1 − observed/expected disagreement: 1 at perfect agreement, 0 at chance, below where worse
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data (fewer than 2
 *   items rated twice: for one alone alpha is 0 whatever it says), inconsistent (rows of unequal length, texts among
 *   numbers), no-variation (all values that can be compared are the same)
 *
 * Accuracy: 1e-12 relative to the largest value.
 * Source: Krippendorff (2011), Computing Krippendorff's Alpha-Reliability, University of Pennsylvania, sections C and D.
 *
 * @example
 * krippendorffAlpha({ ratings: [[1, 2, 3, 3, null], [1, 2, 3, 4, 2], [null, 2, 3, 3, 1]], level: 'ordinal' })
 * // { alpha: 0.881118881118881 }
 */
export function krippendorffAlpha(input: KrippendorffAlphaInput): { alpha: number } {
  options(input, ['ratings', 'level']);
  const level = choice(input.level, 'level', measurementLevels);
  const cell = {
    nominal: category,
    ordinal: figure,
    interval: figure,
    ratio: (value: unknown, path: string) => number(value, path, { min: 0, max: 1e15 }),
  }[level];
  const size = { rows: 2, columns: 2, of: 'values or null' };
  const ratings = matrixOf<Category | null>(input.ratings, 'ratings', size, (value, path) =>
    value === null ? null : cell(value, path),
  );
  if (level === 'nominal') expectOneKind(given(ratings));
  const units = (ratings[0] ?? [])
    .map((_, j) => ratings.map((row) => row[j]).filter((value) => value !== null && value !== undefined))
    .filter((unit) => unit.length >= 2);
  if (units.length < 2) {
    const allowed = 'at least 2 items rated by 2 raters or more';
    throw new StatsError('not-enough-data', 'ratings', 'has too few items to compare', allowed, `${units.length} such`);
  }
  const numbers = numbered(units, level);
  const all = numbers.flat();
  const within = sum(numbers.map((unit) => disagreement(unit, level) / (unit.length - 1)));
  const overall = disagreement(all, level) / (all.length - 1);
  const alike =
    level === 'ratio' || level === 'interval'
      ? onlyRounding(squaresAroundMean(all), all.length, largest(all))
      : overall === 0;
  if (alike) {
    const wrong = 'holds only one value where items can be compared, so chance alone would agree as well';
    throw new StatsError('no-variation', 'ratings', wrong, 'values that differ', all[0]);
  }
  return { alpha: 1 - within / overall };
}

function* given(ratings: readonly (readonly (Category | null)[])[]): Generator<[Category, string]> {
  for (const [i, row] of ratings.entries()) {
    for (const [j, value] of row.entries()) if (value !== null) yield [value, `ratings.${i}.${j}`];
  }
}

/**
 * The values as the distances need them: categories by number, ordinal values by their mid-rank among all that count, for
 * the ranks between c and k, with half of those at c and k, are just the difference of their mid-ranks.
 */
function numbered(units: readonly (readonly Category[])[], level: MeasurementLevel): number[][] {
  if (level === 'nominal') {
    const places = new Map([...new Set(units.flat())].map((one, i) => [one, i]));
    return units.map((unit) => unit.map((one) => places.get(one) as number));
  }
  const values = units.map((unit) => unit.map(Number));
  if (level !== 'ordinal') return values;
  const { ranks } = midRanks(values.flat());
  let next = 0;
  return values.map((unit) => unit.map(() => ranks[next++] as number));
}

/** Σ of the squared distances over all unordered pairs. */
function disagreement(values: readonly number[], level: MeasurementLevel): number {
  const n = values.length;
  if (level === 'interval' || level === 'ordinal') return n * squaresAroundMean(values);
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  const each = [...counts];
  if (level === 'nominal') return sum(each.map(([, count]) => count * (n - count))) / 2;
  let total = 0;
  each.forEach(([a, times], i) => {
    for (let j = i + 1; j < each.length; j++) {
      const [b, count] = each[j] as [number, number];
      total += times * count * ((a - b) / (a + b)) ** 2;
    }
  });
  return total;
}
