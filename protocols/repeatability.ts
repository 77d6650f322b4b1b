import { icc } from '../stats/icc';
import { retest } from '../stats/retest';
import { wherePossible } from './over-listeners';
import type { OwnRatings, OwnSittings } from './own-ratings';
import type { Repeatability } from './results';

/**
 * How alike the same listener rates the same sample again within one sitting: single ratings where a sample was put
 * once more under a new code, the first against the second.
 *
 * Bias is second less first, so above 0 where the second is higher; 95 % of such differences are expected between the
 * limits of agreement (Bland & Altman 1986, as `retest` has it). The intraclass correlation is that of two-way random
 * effects for a single rating (Shrout & Fleiss 1979, case 2, as `icc` has it): rows are the samples as the listeners
 * rated them, columns first and second. Both take pairs for independent, though a listener gives several of them:
 * they describe, and decide nothing.
 * @param level of the interval of the correlation
 * @returns pairs: listener × prototype × sitting with a second rating; null for fewer than two; icc is null where rows
 *   don't differ, or repeat themselves exactly but for a steady shift
 */
export function withinDay(rows: readonly OwnRatings[], level: number): Repeatability | null {
  const pairs = everySample(rows).flatMap((sittings) =>
    [...sittings.values()].flatMap(([first, second]) =>
      first === undefined || second === undefined ? [] : [[first, second] as const],
    ),
  );
  return repeated(pairs, pairs, level);
}

/**
 * The same across days: single ratings (the first one, where a sample was repeated within a sitting), in the sittings
 * of a listener in order. Limits of agreement are those of the second sitting in which a sample was rated against the
 * first. The correlation is over as many sittings as make the most ratings of a table without gaps, the longer one
 * where two are equal; since its columns are first, second … sitting, drift counts as disagreement.
 * @returns pairs: listener × prototype that were rated in two sittings or more; null for fewer than two
 */
export function acrossDays(rows: readonly OwnRatings[], level: number): Repeatability | null {
  const series = everySample(rows).map((sittings) =>
    [...sittings].sort(([a], [b]) => a - b).map(([, values]) => values[0] as number),
  );
  const pairs = series.flatMap(([first, second]) =>
    first === undefined || second === undefined ? [] : [[first, second] as const],
  );
  return repeated(pairs, fullest(series), level);
}

const everySample = (rows: readonly OwnRatings[]): OwnSittings[] =>
  rows.flatMap(({ prototypes }) => [...prototypes.values()]);

/** The table without gaps that holds most ratings: whoever has so many of them, and the first so many of each. */
function fullest(series: readonly (readonly number[])[]): number[][] {
  const most = Math.max(0, ...series.map(({ length }) => length));
  const tables = Array.from({ length: Math.max(0, most - 1) }, (_, i) => {
    const columns = i + 2;
    return series.filter(({ length }) => length >= columns).map((own) => own.slice(0, columns));
  }).filter((table) => table.length >= 2);
  const size = (table: number[][]) => table.length * (table[0]?.length ?? 0);
  return tables.reduce<number[][]>((best, table) => (size(table) >= size(best) ? table : best), []);
}

function repeated(
  pairs: readonly (readonly [number, number])[],
  table: readonly (readonly number[])[],
  level: number,
): Repeatability | null {
  if (pairs.length < 2) return null;
  // From the smallest on, so that names and order of arrival move no digit.
  const sorted = [...pairs].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const found = retest({ first: sorted.map(([, second]) => second), second: sorted.map(([first]) => first) });
  return {
    pairs: pairs.length,
    icc: correlation(table, level),
    bias: found.bias,
    lower: found.lowerLimit,
    upper: found.upperLimit,
  };
}

function correlation(table: readonly (readonly number[])[], level: number): Repeatability['icc'] {
  const ratings = [...table].sort((a, b) => {
    const place = a.findIndex((value, i) => value !== b[i]);
    return place < 0 ? 0 : (a[place] as number) - (b[place] as number);
  });
  const found = wherePossible(() => icc({ ratings, level }).single.twoWayRandom);
  if (!found) return null;
  const { value, lower, upper } = found;
  if (value === null || lower === null || upper === null || ![value, lower, upper].every(Number.isFinite)) return null;
  return { name: 'icc', value, lower, upper, level };
}
