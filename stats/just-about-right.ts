import { figures, list, options, whole } from './check';
import { tUpper } from './distributions';
import { StatsError } from './errors';
import { largest, mean, onlyRounding, squaresAroundMean, variance } from './moments';

export interface JustAboutRightInput {
  liking: readonly number[];
  level: readonly (-1 | 0 | 1)[];
}

export interface JustAboutRightGroup {
  share: number;
  drop: number | null;
  p: number | null;
}

export interface JustAboutRightResult {
  low: JustAboutRightGroup;
  high: JustAboutRightGroup;
}

/**
 * What it costs in liking that a sample has too little or too much of something: the penalties of a just-about-right scale.
 *
 * Use it on one sample and one attribute. Assumes that listeners answer independently and rate liking apart from the
 * attribute; that those who say "too much" like it less doesn't prove that less of it would please them.
 *
 * @param input.liking how much each listener likes the sample, higher meaning more
 * @param input.level what each says of the attribute: −1 too little, 0 right, 1 too much (of a scale with more steps, its
 *   side)
 * @returns low (too little) and high (too much), each: share of the listeners, 0 … 1; drop: mean liking of those at 0 less
 *   the group's, above 0 where the group likes it less, `null` where the group is empty; p of that difference by Welch's
 *   test, two-sided, `null` where the group or those at 0 are fewer than two, or where liking varies in neither: then
 *   there is no spread to judge the drop by
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, inconsistent (lists of unequal length),
 *   not-enough-data (nobody at 0)
 *
 * Accuracy: 1e-12 relative to the largest liking; p 1e-11 relative.
 * Source: ASTM MNL 63 (2009), Just-About-Right Scales (penalty analysis; definition from memory); Welch (1947), Biometrika
 * 34:28–35.
 *
 * @example
 * justAboutRight({ liking: [8, 7, 9, 5, 6, 7], level: [0, 0, 0, -1, -1, 1] })
 * // { low: { share: 0.333333333333333, drop: 2.5, p: 0.0494162568625775 }, high: { share: 0.166666666666667, drop: 1, p: null } }
 */
export function justAboutRight(input: JustAboutRightInput): JustAboutRightResult {
  options(input, ['liking', 'level']);
  const liking = figures(input.liking, 'liking');
  const levels = list(input.level, 'level', 1, 'levels').map((value, i) =>
    whole(value, `level.${i}`, { min: -1, max: 1 }),
  );
  if (levels.length !== liking.length) {
    const allowed = `as many entries as liking, ${liking.length}`;
    throw new StatsError('inconsistent', 'level', 'differs in length', allowed, `${levels.length} entries`);
  }
  const at = (level: number) => liking.filter((_, i) => levels[i] === level);
  const right = at(0);
  if (right.length === 0) {
    const wrong = 'has nobody at 0, with whom to compare';
    throw new StatsError('not-enough-data', 'level', wrong, 'at least one 0', 'none');
  }
  const rounding = largest(liking);
  const penalty = (group: readonly number[]): JustAboutRightGroup => ({
    share: group.length / liking.length,
    drop: group.length === 0 ? null : mean(right) - mean(group),
    p: welchP(right, group, rounding),
  });
  return { low: penalty(at(-1)), high: penalty(at(1)) };
}

/** Two-sided p of Welch's t, or null where there is no spread to judge by. */
function welchP(a: readonly number[], b: readonly number[], size: number): number | null {
  if (a.length < 2 || b.length < 2) return null;
  if (onlyRounding(squaresAroundMean(a) + squaresAroundMean(b), a.length + b.length, size)) return null;
  const [ofA, ofB] = [variance(a) / a.length, variance(b) / b.length];
  const degreesOfFreedom = (ofA + ofB) ** 2 / (ofA ** 2 / (a.length - 1) + ofB ** 2 / (b.length - 1));
  const t = (mean(a) - mean(b)) / Math.sqrt(ofA + ofB);
  return Math.min(1, 2 * tUpper(Math.abs(t), degreesOfFreedom));
}
