import { rankingOf } from '../../../protocols/ranking-spec';
import type { Result } from '../../../shared/findings';
import type { RankingFindings } from '../../../shared/findings-ranking';
import type { Plan } from '../../../shared/plan';
import { askedAlone } from '../audience-figures';
import { nameIn } from '../plan-names';
import { listed } from './order-words';

/** What keeps an order from being misread. */
export function rankingCautions(result: Result, ranking: RankingFindings | undefined, plan: Plan): string[] {
  const { verdict, p, pAdjusted } = result;
  if (!ranking || verdict === 'not-enough-data') return [];
  const { alpha } = plan.risks;
  const cautions: string[] = [];
  if (verdict === 'preferred') {
    cautions.push('Ranks tell an order, not distances: how much better one is than the next is not in them.');
  }
  if (verdict === 'not-separated') {
    cautions.push(
      'This is about the panel as a whole: single listeners may have clear orders of their own, and it doesn’t say that any two sound alike.',
    );
  }
  if (verdict === 'undecided' && p !== null && pAdjusted !== null && p <= alpha && pAdjusted > alpha) {
    cautions.push(askedAlone('an order', plan));
  }
  if (verdict === 'undecided' && rankingOf(plan).predicted) {
    const order = listed(plan.prototypes.map(({ id }) => nameIn(plan)(id)));
    cautions.push(`The plan predicted the order ${order} and looked for that one alone: it can’t show another.`);
  }
  return cautions;
}
