import type { Result } from '../../../shared/findings';
import type { RankingFindings } from '../../../shared/findings-ranking';
import type { Plan } from '../../../shared/plan';
import { decimals, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { questionsWords } from '../audience-figures';
import { pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import type { RankingPart } from '../view-models';
import { rankingChart } from './chart';
import { listed } from './order-words';

/** What a ranking has beside the figures of every verdict: the order, who can't be told apart, and all pairs. */
export function rankingPart(result: Result, ranking: RankingFindings, plan: Plan): RankingPart {
  const name = nameIn(plan);
  const words = (share: number) => percentBeside(share, turningShares(plan));
  return {
    chart: rankingChart(ranking, plan),
    ranks: ranking.ranks.map(({ prototype, meanRank, lower, upper, rankSum, times }) => ({
      ...markedIn(plan)(prototype),
      meanRank: decimals(meanRank),
      interval: lower === null || upper === null ? '–' : `${decimals(lower)} to ${decimals(upper)}`,
      rankSum: String(rankSum),
      times: String(times),
    })),
    incomplete: ranking.size < plan.prototypes.length,
    groups:
      result.verdict === 'not-enough-data'
        ? []
        : ranking.groups.filter((group) => group.length > 1).map((group) => listed(group.map(name))),
    pairs: ranking.pairs.map(({ first, second, primary, difference, share, p, pAdjusted, separated }) => ({
      names: `${name(first)} before ${name(second)}`,
      share: share ? words(share.value) : '–',
      interval: share ? `${words(share.lower)} to ${words(share.upper)}` : '–',
      difference: decimals(difference),
      p: pWords(p),
      pAdjusted: pWords(pAdjusted),
      primary,
      separated: separated ? `yes: ${name(difference < 0 ? first : second)}` : 'no',
    })),
    decided: decidedWords(ranking, plan),
    published: publishedWords(ranking),
  };
}

const testNames = { friedman: 'Friedman', page: 'Page', durbin: 'Durbin' } as const;

function decidedWords({ turned, exact, test, balanced }: RankingFindings, plan: Plan): string {
  const how =
    turned === 'whole-listeners'
      ? 'all rankings of a listener were reversed, or none'
      : 'the ranks of each listener were dealt anew to the prototypes, in all rankings of that listener alike';
  const towards = test === 'page' ? ' toward the order that the plan predicted' : '';
  const counted = exact ? 'every way counted' : 'drawn by chance with a fixed seed';
  const direct = balanced
    ? ''
    : ' Since some prototypes met more often than others, only rankings that hold both count for a pair.';
  const audiences = plan.audiences.length > 1 ? ` and the ${questionsWords(plan)}` : '';
  return `p of the whole order: how often chance alone gives one as clear${towards}, the listener being the unit (${how}; ${counted}). A pair is called separated where the whole order is found, too: its p is by sign flips over listeners’ differences of ranks, and Holm corrects for all pairs${audiences}, half of the weight being on the primary pair.${direct}`;
}

function publishedWords({ test, statistic, degreesOfFreedom, approximateP, rankings }: RankingFindings): string | null {
  if (statistic === null || approximateP === null) return null;
  const figure =
    test === 'page'
      ? `L = ${statistic.toFixed(1).replace(/\.0$/, '')}`
      : `χ² = ${decimals(statistic)} with ${degreesOfFreedom} degrees of freedom`;
  const unit = test === 'durbin' ? `, as if all ${rankings} rankings came from listeners of their own` : '';
  return `By ${testNames[test]}’s test as it is published: ${figure}, p ${pWords(approximateP)}${unit}. It decides nothing.`;
}
