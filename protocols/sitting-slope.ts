import { meanOf } from './own-ratings';

/** Whoever heard the samples no more often than this, in doublings, shows no slope: it would be all noise. */
const leastDoublings = 0.5;

/**
 * One listener's slope on how often the samples had been heard: least squares of the sittings' figures on log2 of the
 * hearings, so per doubling. What was never heard counts as heard once.
 * @param sittings figures of one listener; `heard`: hearings of each sample by the end of the sitting
 * @returns null where hearings didn't grow by half a doubling
 */
export function leastSquares(sittings: readonly { heard: number; value: number }[]): number | null {
  const points = sittings.map(({ heard, value }) => ({ x: Math.log2(Math.max(1, heard)), value }));
  const each = points.map(({ x }) => x);
  if (points.length < 2 || Math.max(...each) - Math.min(...each) < leastDoublings) return null;
  const [middle, level] = [meanOf(each), meanOf(points.map(({ value }) => value))];
  let [above, below] = [0, 0];
  for (const { x, value } of points) {
    above += (x - middle) * (value - level);
    below += (x - middle) ** 2;
  }
  return above / below;
}
