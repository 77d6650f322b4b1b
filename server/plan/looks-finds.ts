import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { hasLooks } from '../../protocols/looks';
import { looksCourse, mostReckoned } from '../../protocols/looks-course';
import { rightsTrialsPlanned } from '../../protocols/rights-power';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';

/** How a plan with looks ends, reckoned exactly: one sentence an audience; none of a plan of fixed size. */
export function looksFinds(plan: Plan): string[] {
  const { protocol } = methodOf(plan);
  if (!hasLooks(plan) || !protocol.evidence) return [];
  const compared = comparedPlan(plan);
  const prefers = protocol.family === 'preference';
  const { value } = plan.risks.smallest;
  const [there, what] = prefers
    ? [`where ${chosenPercent(value)} of listeners lean to one`, 'net answers']
    : [`where it is truly heard in ${chosenPercent(value)} of trials`, 'answers'];
  return plan.audiences.map(({ id, name, listeners }) => {
    const asked = protocol.evidence?.([], compared, id as AudienceId);
    if (!asked) throw new Error('This method counts nothing on the way.');
    const most = Math.min(mostReckoned, prefers ? listeners : listeners * rightsTrialsPlanned(plan));
    const effect = looksCourse(asked, plan, most, asked.p1);
    const none = looksCourse(asked, plan, most, asked.p0);
    const whose = plan.audiences.length > 1 ? `${name}, looked at` : 'Looked at';
    return `${whose} after each answer, ${there} it is decided after ${Math.round(effect.expected)} of ${most} ${what} on average, and found with a chance of ${chancePercent(effect.shown)}; where there is nothing after ${Math.round(none.expected)}, and found all the same with a chance of ${chosenPercent(Number(none.shown.toFixed(3)))}.`;
  });
}
