import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { tQuantile } from '../stats/distributions';
import type { PanelOrderResult } from '../stats/panel-order';
import type { OwnRankings } from './own-rankings';
import type { TestedPair } from './ranking-analysis';
import { shareBefore } from './ranking-pairs';
import { type RankingSpec, rankingOf } from './ranking-spec';
import { isBalanced, isComplete, publishedTest, turnedBy } from './ranking-tests';
import type { RankingDetail } from './results';

/** All that stands beside the verdict of a ranking. @param found whether pairs may be called separated */
export function rankingDetail(
  rows: readonly OwnRankings[],
  test: PanelOrderResult,
  pairs: readonly TestedPair[],
  found: boolean,
  plan: Plan,
): RankingDetail {
  const spec = rankingOf(plan);
  const { alpha } = plan.risks;
  const complete = isComplete(spec, plan);
  const balanced = complete || isBalanced(rows, plan.prototypes.length);
  const level = 1 - alpha;
  const ranks = meanRanks(rows, spec, level, plan);
  const separated = (pair: TestedPair) => found && pair.pAdjusted <= alpha;
  return {
    ...publishedTest(rows, spec, plan),
    turned: turnedBy(rows, complete) === 'flip' ? 'whole-listeners' : 'ranks-of-listeners',
    exact: test.exact,
    rankings: rows.reduce((sum, { rankings }) => sum + rankings.length, 0),
    size: Math.min(spec.size, plan.prototypes.length),
    balanced,
    ranks,
    level,
    pairs: pairs.map((pair) => {
      const { first, second, primary, p, pAdjusted } = pair;
      const share = shareBefore(rows, first, second, plan);
      const difference = apart(pair, ranks, balanced);
      return { first, second, primary, difference, share, p, pAdjusted, separated: separated(pair) };
    }),
    groups: groupsOf(
      ranks.map(({ prototype }) => prototype),
      (a, b) => pairs.some((pair) => separated(pair) && [pair.first, pair.second].every((id) => id === a || id === b)),
    ),
  };
}

/** Ranks of each prototype over all rankings, and their mean, the best first. */
function meanRanks(
  rows: readonly OwnRankings[],
  spec: Pick<RankingSpec, 'size'>,
  level: number,
  plan: Plan,
): RankingDetail['ranks'] {
  const most = Math.min(spec.size, plan.prototypes.length);
  const complete = isComplete(spec, plan);
  return plan.prototypes
    .map(({ id }, item) => {
      const own = rows.flatMap(({ rankings }) => {
        const ranks = rankings.flatMap(({ items, ranks: all }) => all[items.indexOf(item)] ?? []);
        return ranks.length === 0 ? [] : [{ total: sum(ranks), times: ranks.length }];
      });
      const mean = meanOver(
        complete ? own.map(({ total, times }) => ({ total: total / times, times: 1 })) : own,
        level,
      );
      return {
        prototype: id as PrototypeId,
        rankSum: sum(own.map(({ total }) => total)),
        meanRank: mean?.value ?? (most + 1) / 2,
        times: sum(own.map(({ times }) => times)),
        lower: mean && Math.max(1, mean.lower),
        upper: mean && Math.min(most, mean.upper),
      };
    })
    .sort((x, y) => x.meanRank - y.meanRank)
    .map(({ lower, upper, ...one }) =>
      lower === upper ? { ...one, lower: null, upper: null } : { ...one, lower, upper },
    );
}

/**
 * The mean of what listeners gave, a listener with more of it weighing more, with its t interval over listeners: the
 * ratio estimator (Cochran 1977, Sampling Techniques, chapter 6). Null without listeners; an interval of no width where
 * nobody's spread was seen.
 */
function meanOver(own: readonly { total: number; times: number }[], level: number) {
  const times = sum(own.map((one) => one.times));
  if (times === 0) return null;
  const value = sum(own.map(({ total }) => total)) / times;
  const n = own.length;
  const squares = sum(own.map((one) => (one.total - value * one.times) ** 2));
  if (n < 2 || squares < 1e-12) return { value, lower: value, upper: value };
  const half = -tQuantile((1 - level) / 2, n - 1) * (Math.sqrt((n / (n - 1)) * squares) / times);
  return { value, lower: value - half, upper: value + half };
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** How far apart the mean ranks of two are; where they don't say what the test of the pair went by, what that says. */
function apart(pair: TestedPair, ranks: RankingDetail['ranks'], balanced: boolean): number {
  const mean = (id: PrototypeId) => ranks.find(({ prototype }) => prototype === id)?.meanRank ?? 0;
  const between = mean(pair.first) - mean(pair.second);
  return balanced && Math.sign(between) === Math.sign(pair.difference) ? between : pair.difference;
}

/**
 * Which can't be told apart: runs of neighbours in that order of which no two are separated, none of them part of a longer
 * one; and after them any two that aren't separated though one between them is from either.
 */
export function groupsOf(
  order: readonly PrototypeId[],
  separated: (a: PrototypeId, b: PrototypeId) => boolean,
): PrototypeId[][] {
  const groups: PrototypeId[][] = [];
  let reached = 0;
  for (let start = 0; start < order.length; start++) {
    let end = start + 1;
    while (end < order.length && order.slice(start, end).every((one) => !separated(one, order[end] as PrototypeId))) {
      end++;
    }
    if (end > reached) groups.push(order.slice(start, end));
    reached = Math.max(reached, end);
  }
  for (const [i, one] of order.entries()) {
    for (const other of order.slice(i + 1)) {
      const told = separated(one, other) || groups.some((group) => group.includes(one) && group.includes(other));
      if (!told) groups.push([one, other]);
    }
  }
  return groups;
}

/** The prototype that is ahead of every other one, each separated from it; null where there is none. */
export function separatedFromAll(pairs: readonly TestedPair[], alpha: number, plan: Plan): PrototypeId | null {
  const leads = (id: string) =>
    pairs.filter(
      ({ first, second, difference, pAdjusted }) =>
        pAdjusted <= alpha && ((first === id && difference < 0) || (second === id && difference > 0)),
    ).length;
  const leader = plan.prototypes.find(({ id }) => leads(id) === plan.prototypes.length - 1);
  return (leader?.id as PrototypeId | undefined) ?? null;
}
