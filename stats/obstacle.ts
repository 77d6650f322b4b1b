import { islandsOf, orderLevels, outcomeArcs, smallestClosed } from './comparison-graph';
import type { ComparisonModel } from './comparison-model';
import { type Arcs, searchCycle } from './negative-cycle';
import type { PairCounts } from './pair-counts';

/** Why there is no estimate of greatest likelihood, or more than one. */
export type Obstacle =
  | { kind: 'islands'; groups: number[][] }
  | { kind: 'confounded'; levels: Int32Array }
  | { kind: 'separated'; group: number[]; neverLoses: boolean }
  | { kind: 'no-ties' }
  | { kind: 'order'; ahead: Int8Array }
  | { kind: 'ties' };

/**
 * What keeps the estimate from being finite and unique, or null where it is both.
 *
 * The likelihood is concave, so there is a unique estimate just where no direction exists along which it never falls: in
 * which each outcome that was seen stays at least as probable as the others of its comparison. With a change x of the log
 * worths, g of log γ, and t of log ν, put u = 2t − g. Then a win of the first asks x₁ − x₂ ≥ g + max(0, u), of the second
 * x₂ − x₁ ≥ −g + max(0, u), a tie |x₁ − x₂ − g| ≤ u; so each direction is a set of bounds on differences of x, which can
 * be kept if and only if no cycle of arcs adds up to less than nothing. A tie rules out u < 0. What remains:
 *
 * - u = 0, g = 0: chains of wins or ties must lead from each item to each other one (Ford 1957).
 * - u = 0, g = ±1: an arc weighs −g from the first to the second, g back.
 * - u = 1, any g (with ties): an arc weighs 1 for a tie and −1 for a win besides.
 *
 * A probit has the same directions as a logit, since log Φ, too, is concave, rising, and bounded on one side only.
 */
export function findObstacle(
  pairs: PairCounts,
  counts: Float64Array,
  { order, tied }: ComparisonModel,
): Obstacle | null {
  const arcs = outcomeArcs(pairs, counts);
  const groups = islandsOf(arcs);
  if (groups.length > 1) return { kind: 'islands', groups };
  const levels = order ? orderLevels(arcs) : null;
  if (levels !== null) return { kind: 'confounded', levels };
  const closed = smallestClosed(arcs);
  if (closed !== null) return { kind: 'separated', ...closed };
  if (tied && counts.every((count, k) => k % 3 !== 2 || count === 0)) return { kind: 'no-ties' };
  for (const gamma of order ? [1, -1] : []) {
    const search = searchCycle(arcs, 0, gamma);
    if ('potentials' in search) return { kind: 'order', ahead: aheadOf(pairs, search.potentials, gamma) };
  }
  return tied && tiesUnbounded(arcs, order) ? { kind: 'ties' } : null;
}

/** Of each entry: 1 where only wins of the first are possible in the end, −1 of the second, 0 where both are. */
function aheadOf(pairs: PairCounts, potentials: Float64Array, gamma: number): Int8Array {
  return Int8Array.from(pairs.first, (first, k) =>
    Math.sign((potentials[first] as number) - (potentials[pairs.second[k] as number] as number) - gamma),
  );
}

/**
 * Whether for some g no cycle has ties + g·order < 0. Every cycle that is found leaves g on one side of a bound only; the
 * next is looked for at that bound, so that the bound moves one way, through finitely many fractions, until a cycle
 * forbids it to go on or none is left.
 */
function tiesUnbounded(arcs: Arcs, order: boolean): boolean {
  // g as a fraction of whole numbers, so that nothing is rounded.
  let [over, under] = [0, 1];
  let side = 0;
  for (;;) {
    const search = searchCycle(arcs, under, order ? over : 0);
    if ('potentials' in search) return true;
    const { cycle } = search;
    const towards = order ? Math.sign(cycle.order) : 0;
    if (towards === 0 || towards === -side) return false;
    side = towards;
    [over, under] = [-side * cycle.ties, Math.abs(cycle.order)];
  }
}
