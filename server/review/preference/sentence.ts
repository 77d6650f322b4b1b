import type { AudienceResult, PairResult } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { listeners } from '../figures';
import { nameIn } from '../plan-names';

/** Which of two is preferred: the share of whoever is ahead, with its interval. */
export function preferenceSentence(result: AudienceResult, primary: PairResult, plan: Plan, audience: string): string {
  const name = nameIn(plan);
  const [first, second] = [name(primary.first), name(primary.second)];
  const { share } = primary;
  if (share === null || result.verdict === 'not-enough-data') {
    const alone = (plan.risks.sides === 'two-sided' ? 2 : 1) / 2 ** primary.listeners;
    const why =
      primary.listeners === 0
        ? 'no answer about this pair came in that counts'
        : `even of one mind, ${listeners(primary.listeners)} could not have shown a preference at α = ${plan.risks.alpha}${alone <= plan.risks.alpha ? ' beside the other audiences' : ''}`;
    return `There are not enough data from ${audience} to say whether ${first} or ${second} is preferred: ${why}.`;
  }
  const forward = share.value >= 0.5;
  const [ahead, behind] = forward ? [first, second] : [second, first];
  const [value, lower, upper] = forward
    ? [share.value, share.lower, share.upper]
    : [1 - share.value, 1 - share.upper, 1 - share.lower];
  const words = (one: number): string => percentBeside(one, turningShares(plan));
  const counted =
    primary.none > 0
      ? `, “no preference” ${plan.noPreference.rule === 'split' ? 'counting half for each' : 'left out'}`
      : '';
  const figures = `${words(value)} of choices, every listener counting the same${counted} (${chosenPercent(share.level)} interval ${words(lower)} to ${words(upper)})`;
  if (result.verdict === 'preferred') return `${audience}: ${ahead} is preferred to ${behind}, with ${figures}.`;
  const seen = `${ahead} got ${figures}`;
  if (result.verdict === 'not-separated') {
    return `${audience}: ${first} and ${second} are not separated. ${seen}, which leaves out every share of ${chosenPercent(plan.risks.smallest.value)} or more for either.`;
  }
  if (plan.risks.sides === 'one-sided' && !forward) {
    return `${audience}: ${first} is not shown to be preferred to ${second}. ${seen}; the plan asked one way only, so it can’t show that ${second} is preferred.`;
  }
  return `${audience}: it is undecided whether ${first} or ${second} is preferred. ${seen}.`;
}
