import { protocolOf } from '../../../protocols/index';
import type { AudienceResult, DifferenceDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { claimOf, rightWords } from './claim';
import { similaritySentence } from './similarity';

/** Whether two are told apart: right answers beside what guessing gives, and what that says of hearing. */
export function differenceSentence(
  result: AudienceResult,
  difference: DifferenceDetail,
  plan: Plan,
  audience: string,
): string {
  const { trials, heard, heardOf, similarity } = difference;
  if (plan.aim === 'similarity') return similaritySentence(result.verdict, difference, similarity, plan, audience);
  const { whether, shown } = claimOf(plan);
  const chance = protocolOf(plan.method.id).chance ?? 0;
  if (heard === null || result.verdict === 'not-enough-data') {
    const why =
      trials === 0
        ? 'no answer came in that counts'
        : `even with every answer right, ${trials === 1 ? '1 trial' : `${trials} trials`} could not have shown it at α = ${plan.risks.alpha}${chance ** trials <= plan.risks.alpha ? ' beside the other audiences' : ''}`;
    return `There are not enough data from ${audience} to say whether ${whether}: ${why}.`;
  }
  const words = (share: number): string => percentBeside(share, turningShares(plan));
  const right = rightWords(difference, plan);
  const interval = `(${chosenPercent(heard.level)} interval ${words(heard.lower)} to ${words(heard.upper)})`;
  const inTrials = `in ${words(heard.value)} of trials ${interval}`;
  const [was, were] =
    heardOf === 'average-listener'
      ? [`the average listener truly heard it ${inTrials}`, `the average listener truly heard it ${inTrials}`]
      : [`it was truly heard ${inTrials}`, `it were truly heard ${inTrials}`];
  return result.verdict === 'difference-shown'
    ? `${audience}: ${shown}. ${right}: ${was}.`
    : `${audience}: it is undecided whether ${whether}. ${right}: as if ${were}.`;
}
