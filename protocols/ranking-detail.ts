import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { PanelOrderResult } from '../stats/panel-order';
import { overListeners } from './over-listeners';
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
  const level = 1 - alpha;
  const ranks = meanRanks(rows, spec, level, plan);
  const separated = (pair: TestedPair) => found && pair.pAdjusted <= alpha;
  return {
    ...publishedTest(rows, spec, plan),
    turned: turnedBy(rows, complete) === 'flip' ? 'whole-listeners' : 'ranks-of-listeners',
    exact: test.exact,
    rankings: rows.reduce((sum, { rankings }) => sum + rankings.length, 0),
    size: Math.min(spec.size, plan.prototypes.length),
    balanced: complete || isBalanced(rows, plan.prototypes.length),
    ranks,
    level,
    pairs: pairs.map((pair) => {
      const { first, second, primary, difference, p, pAdjusted } = pair;
      const share = shareBefore(rows, first, second, plan);
      return { first, second, primary, difference, share, p, pAdjusted, separated: separated(pair) };
    }),
    groups: groupsOf(
      ranks.map(({ prototype }) => prototype),
      (a, b) => pairs.some((pair) => separated(pair) && [pair.first, pair.second].every((id) => id === a || id === b)),
    ),
  };
}

/** Ranks of each prototype over all rankings, and its mean over listeners, the best first. */
function meanRanks(
  rows: readonly OwnRankings[],
  { size }: Pick<RankingSpec, 'size'>,
  level: number,
  plan: Plan,
): RankingDetail['ranks'] {
  const most = Math.min(size, plan.prototypes.length);
  return plan.prototypes
    .map(({ id }, item) => {
      const own = rows.flatMap(({ rankings }) => {
        const ranks = rankings.flatMap(({ items, ranks: all }) => {
          const rank = all[items.indexOf(item)];
          return rank === undefined ? [] : [rank];
        });
        return ranks.length === 0 ? [] : [ranks];
      });
      const all = own.flat();
      const means = own.map((ranks) => sum(ranks) / ranks.length);
      const { estimate } = overListeners('mean rank', means, level);
      return {
        prototype: id as PrototypeId,
        rankSum: sum(all),
        meanRank: means.length === 0 ? (most + 1) / 2 : sum(means) / means.length,
        times: all.length,
        lower: estimate && Math.max(1, estimate.lower),
        upper: estimate && Math.min(most, estimate.upper),
      };
    })
    .sort((a, b) => a.meanRank - b.meanRank);
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** Runs of neighbours in that order of which no two are separated, none of them part of a longer one. */
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
