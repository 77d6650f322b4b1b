import type { AudienceResult } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { chosenPercent, percentBeside, turningShares } from '../plan-words';

/** The verdict in one sentence, for people who read nothing else. No verdict without its interval. */
export function sentenceOf(result: AudienceResult, plan: Plan): string {
  const name = (id: string | null): string => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? '';
  const audience = plan.audiences.find((one) => one.id === result.audience)?.name ?? '';
  const { primary } = result;
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

export const listeners = (count: number): string => (count === 1 ? '1 listener' : `${count} listeners`);
