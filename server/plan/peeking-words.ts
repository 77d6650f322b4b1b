import { alphaEach } from '../../protocols/alpha-each';
import { protocolOf } from '../../protocols/index';
import { rightsTrialsPlanned } from '../../protocols/rights-power';
import { sizedPlan } from '../../protocols/sized-plan';
import type { Plan } from '../../shared/plan';
import { mostPeeked, peeking } from '../../stats/peeking';
import { chosenPercent, percent } from '../number-words';

/** What it would cost to look after every answer at a plan that is meant to be looked at once; null where that isn't so. */
export function peekingWords(whole: Plan): string | null {
  const plan = sizedPlan(whole);
  const { chance } = protocolOf(plan.method.id);
  if (plan.looks.kind !== 'fixed' || plan.aim !== 'difference' || chance === null) return null;
  const last = Math.max(...plan.audiences.map(({ listeners }) => listeners)) * rightsTrialsPlanned(plan);
  if (last < 20 || last > mostPeeked) return null;
  const alpha = alphaEach(plan);
  const { falseAlarms } = peeking({ first: Math.min(10, last), last, chance, alpha });
  return `Looked at after every answer from the tenth on, and stopped at the first p ≤ ${alpha}, this plan would cry wolf in ${percent(falseAlarms)} of studies instead of ${chosenPercent(alpha)}. That is why nothing is shown before it is closed.`;
}
