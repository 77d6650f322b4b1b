import type { AudienceResult } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { chosenPercent, percent } from '../plan-words';

/** The verdict in one sentence, for people who read nothing else. No verdict without its interval. */
export function sentenceOf(result: AudienceResult, plan: Plan): string {
  const name = (id: string | null): string => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? '';
  const audience = plan.audiences.find((one) => one.id === result.audience)?.name ?? '';
  const { primary } = result;
  const [first, second] = [name(primary.first), name(primary.second)];
  const { share } = primary;
  if (share === null || result.verdict === 'not-enough-data') {
    const best = `even of one mind, ${listeners(primary.listeners)} could not have shown a preference at α = ${plan.risks.alpha}`;
    return `There are not enough data from ${audience} to say whether ${first} or ${second} is preferred: ${best}.`;
  }
  const interval = (value: number, lower: number, upper: number): string =>
    `${percent(value)} of choices, every listener counting the same (${chosenPercent(share.level)} interval ${percent(lower)} to ${percent(upper)})`;
  if (result.verdict === 'preferred') {
    const forward = result.preferred === primary.first;
    const [winner, loser] = forward ? [first, second] : [second, first];
    const figures = forward
      ? interval(share.value, share.lower, share.upper)
      : interval(1 - share.value, 1 - share.upper, 1 - share.lower);
    return `${audience}: ${winner} is preferred to ${loser}, with ${figures}.`;
  }
  const seen = `${first} got ${interval(share.value, share.lower, share.upper)}`;
  if (result.verdict === 'not-separated') {
    return `${audience}: ${first} and ${second} are not separated. ${seen}, which leaves out every share of ${chosenPercent(plan.risks.smallest.value)} or more for either.`;
  }
  return `${audience}: it is undecided whether ${first} or ${second} is preferred. ${seen}.`;
}

export const listeners = (count: number): string => (count === 1 ? '1 listener' : `${count} listeners`);
