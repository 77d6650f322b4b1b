import type { ListenerId } from '../shared/brands';
import type { ListenersOf } from '../shared/findings-listeners';
import type { Plan } from '../shared/plan';
import { kendallScore } from '../stats/kendall-score';
import { productMoment } from '../stats/product-moment';
import { type OneRanking, ownRankings } from './own-rankings';
import type { Outcome } from './protocol';

type Own = Omit<ListenersOf<'ranking'>['listeners'][number], 'listener' | 'again'> & { listener: ListenerId };

/** Two samples in common lie one way round or the other by a toss of a coin. */
const fewestInCommon = 3;

/**
 * How each listener puts things in order: how alike two of the own rankings are (Kendall's tau over the samples that both
 * hold, mean over all twos), and how own mean ranks go with the mean of the others' (product-moment correlation, which of
 * single rankings is Spearman's). The second describes tastes: it judges nobody, and there are no notes.
 * @param outcomes of one audience
 * @returns listeners by id
 */
export function ordersByListener(outcomes: readonly Outcome[], plan: Plan): Own[] {
  const rows = ownRankings(outcomes, plan);
  const sums = plan.prototypes.map((_, item) => {
    const given = rows.flatMap(({ deviations }) => deviations[item] ?? []);
    return { sum: given.reduce((all, one) => all + one, 0), count: given.length };
  });
  return rows
    .map(({ listener, rankings, deviations }) => {
      const pairs = deviations.flatMap((own, item) => {
        const { sum, count } = sums[item] ?? { sum: 0, count: 0 };
        return own === null || count < 2 ? [] : [[own, (sum - own) / (count - 1)] as const];
      });
      return {
        listener,
        rankings: rankings.length,
        ownTau: meanTau(rankings),
        withOthers:
          pairs.length < fewestInCommon
            ? null
            : (productMoment(
                pairs.map(([own]) => own),
                pairs.map(([, others]) => others),
              )?.r ?? null),
      };
    })
    .sort((a, b) => (a.listener < b.listener ? -1 : 1));
}

function meanTau(rankings: readonly OneRanking[]): number | null {
  const taus = rankings.flatMap((one, i) => rankings.slice(i + 1).flatMap((other) => tauOf(one, other) ?? []));
  return taus.length === 0 ? null : taus.reduce((sum, tau) => sum + tau, 0) / taus.length;
}

function tauOf(one: OneRanking, other: OneRanking): number | null {
  const common = one.items.filter((item) => other.items.includes(item));
  if (common.length < fewestInCommon) return null;
  const ranksIn = ({ items, ranks }: OneRanking) => common.map((item) => ranks[items.indexOf(item)] as number);
  const { score, pairs } = kendallScore(ranksIn(one), ranksIn(other));
  return pairs === 0 ? null : score / pairs;
}
