import type { AudienceResult } from '../../protocols/results';
import type { Plan } from '../../shared/plan';
import { differenceSentence } from './difference/sentence';
import { looksSentence } from './looks/sentence';
import { preferenceSentence } from './preference/sentence';
import { rankingSentence } from './ranking/sentence';
import { ratingSentence } from './rating/sentence';
import { yesNoSentence } from './yes-no/sentence';

/** The verdict in one sentence, for people who read nothing else. No verdict without its interval. */
export function sentenceOf(result: AudienceResult, plan: Plan): string {
  const audience = plan.audiences.find((one) => one.id === result.audience)?.name ?? result.audience;
  if (result.looks) return looksSentence(result, result.looks, plan, audience);
  if (result.difference) return differenceSentence(result, result.difference, plan, audience);
  if (result.yesNo) return yesNoSentence(result, result.yesNo, plan, audience);
  if (result.ranking) return rankingSentence(result, result.ranking, plan, audience);
  if (result.ratings) return ratingSentence(result, result.ratings, plan, audience);
  if (result.primary) return preferenceSentence(result, result.primary, plan, audience);
  return `There are not enough data from ${audience} to say anything: no answer came in that counts.`;
}
