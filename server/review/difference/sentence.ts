import { protocolOf } from '../../../protocols/index';
import type { AudienceResult, DifferenceDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { about } from '../figures';
import { nameIn } from '../plan-names';

/** Whether two are told apart: right answers beside what guessing gives, and what that says of hearing. */
export function differenceSentence(
  result: AudienceResult,
  { correct, trials, heard, heardOf }: DifferenceDetail,
  plan: Plan,
  audience: string,
): string {
  const name = nameIn(plan);
  const between = `the difference between ${name(plan.primary.first)} and ${name(plan.primary.second)}`;
  const chance = protocolOf(plan.method.id).chance ?? 0;
  if (heard === null || result.verdict === 'not-enough-data') {
    const why =
      trials === 0
        ? 'no answer came in that counts'
        : `even with every answer right, ${trials === 1 ? '1 trial' : `${trials} trials`} could not have shown it at α = ${plan.risks.alpha}${chance ** trials <= plan.risks.alpha ? ' beside the other audiences' : ''}`;
    return `There are not enough data from ${audience} to say whether ${between} is heard: ${why}.`;
  }
  const words = (share: number): string => percentBeside(share, turningShares(plan));
  const right = `${correct} of ${trials} answers were right, where guessing alone gives ${about(chance * trials)} on average`;
  const interval = `(${chosenPercent(heard.level)} interval ${words(heard.lower)} to ${words(heard.upper)})`;
  const inTrials = `in ${words(heard.value)} of trials ${interval}`;
  const [was, were] =
    heardOf === 'average-listener'
      ? [`the average listener truly heard it ${inTrials}`, `the average listener truly heard it ${inTrials}`]
      : [`it was truly heard ${inTrials}`, `it were truly heard ${inTrials}`];
  switch (result.verdict) {
    case 'difference-shown':
    case 'preferred':
      return `${audience}: ${between} is heard. ${right}: ${was}.`;
    case 'similarity-shown':
    case 'not-separated':
      return `${audience}: ${between} is heard too seldom to matter. ${right}: ${was}, which leaves out every share of ${chosenPercent(plan.risks.smallest.value)} or more.`;
    default:
      return `${audience}: it is undecided whether ${between} is heard. ${right}: as if ${were}.`;
  }
}
