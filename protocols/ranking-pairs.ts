import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { signFlip } from '../stats/sign-flip';
import { allPairs } from './balanced-pairs';
import type { OwnRankings } from './own-rankings';
import type { RankingSpec } from './ranking-spec';
import { isBalanced, isComplete } from './ranking-tests';
import type { Estimate } from './results';

/** Two prototypes, by place in the plan, the lower first. */
export interface RankedPair {
  first: PrototypeId;
  second: PrototypeId;
  primary: boolean;
  /** Mean rank of the first less that of the second: below 0 the first is ahead. */
  difference: number;
  p: number;
  /** Listeners whose rankings say something of it. */
  listeners: number;
}

/** Of the weights of an audience's pairs when they are corrected together. */
export const primaryWeight = 1 / 2;

/**
 * Each pair by itself: a sign-flip permutation over listeners' own differences of ranks.
 *
 * If the panel puts neither before the other, each listener's difference could as well have come out the other way,
 * whatever is thought of the rest. In incomplete blocks one of the two alone says something, too: how far it came from
 * the middle. That leans to neither while every two meet equally often; where sittings were missed so that they don't,
 * only rankings that hold both count. One-sided, for the earlier of the two, where the order was predicted.
 */
export function rankingPairs(
  rows: readonly OwnRankings[],
  spec: Pick<RankingSpec, 'size' | 'predicted'>,
  plan: Plan,
): RankedPair[] {
  const direct = !isComplete(spec, plan) && !isBalanced(rows, plan.prototypes.length);
  return allPairs(plan.prototypes.length).map(([a, b]) => {
    const differences = rows.flatMap((row) => (direct ? directly(row, a, b) : alongAll(row, a, b)));
    const mean = differences.length === 0 ? 0 : differences.reduce((sum, one) => sum + one, 0) / differences.length;
    const alternative = spec.predicted ? ('less' as const) : ('two-sided' as const);
    const first = plan.prototypes[a]?.id as PrototypeId;
    const second = plan.prototypes[b]?.id as PrototypeId;
    return {
      first,
      second,
      primary: [plan.primary.first, plan.primary.second].every((id) => id === first || id === second),
      difference: mean,
      p: differences.length === 0 ? 1 : signFlip({ perListener: differences, alternative, seed: 1 }).p,
      listeners: differences.length,
    };
  });
}

/** A listener's difference over all that was ranked; nothing from whoever met neither. */
function alongAll({ deviations }: OwnRankings, a: number, b: number): number[] {
  const [one, other] = [deviations[a] ?? null, deviations[b] ?? null];
  return one === null && other === null ? [] : [((one ?? 0) - (other ?? 0)) / 2];
}

/** A listener's mean difference over rankings with both. */
function directly({ rankings }: OwnRankings, a: number, b: number): number[] {
  const both = rankings.flatMap(({ items, ranks }) => {
    const [one, other] = [ranks[items.indexOf(a)], ranks[items.indexOf(b)]];
    return one === undefined || other === undefined ? [] : [one - other];
  });
  return both.length === 0 ? [] : [both.reduce((sum, one) => sum + one, 0) / both.length];
}

/** Each listener's share of rankings that put the first before the second, of those that hold both. */
export function sharesBefore(
  rows: readonly OwnRankings[],
  first: PrototypeId,
  second: PrototypeId,
  plan: Plan,
): { row: OwnRankings; share: number; trials: number }[] {
  const [a, b] = [first, second].map((id) => plan.prototypes.findIndex((one) => one.id === id)) as [number, number];
  return rows.flatMap((row) => {
    const both = row.rankings.flatMap(({ items, ranks }) => {
      const [one, other] = [ranks[items.indexOf(a)], ranks[items.indexOf(b)]];
      return one === undefined || other === undefined ? [] : [one < other ? 1 : 0];
    });
    if (both.length === 0) return [];
    return [{ row, share: both.reduce<number>((sum, one) => sum + one, 0) / both.length, trials: both.length }];
  });
}

/** That share over the panel, each listener weighing the same; null with fewer than two. */
export function shareBefore(
  rows: readonly OwnRankings[],
  first: PrototypeId,
  second: PrototypeId,
  plan: Plan,
): Estimate | null {
  const listeners = sharesBefore(rows, first, second, plan).map(({ share, trials }) => ({ share, trials }));
  if (listeners.length < 2) return null;
  const level = 1 - plan.risks.alpha;
  const { share, lower, upper } = clusteredShareInterval({ listeners, level });
  return { name: 'share', value: share, lower, upper, level };
}
