import type { AudienceResult } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { listeners, pWords } from '../figures';
import { nameIn } from '../plan-names';
import { groupWords, listed, type Ranking, separatedWords } from './order-words';

/** Which prototypes a panel puts before which, and how often the primary pair came that way. */
export function rankingSentence(result: AudienceResult, ranking: Ranking, plan: Plan, audience: string): string {
  const name = nameIn(plan);
  const order = ranking.ranks.map(({ prototype }) => name(prototype));
  if (result.verdict === 'not-enough-data') {
    return `There are not enough data from ${audience} to say which of the ${order.length} are preferred: ${tooFew(result, plan)}.`;
  }
  const groups = groupWords(ranking, plan);
  const pair = primaryWords(result, plan);
  switch (result.verdict) {
    case 'preferred':
      return `${audience}: ${separatedWords(ranking, plan)}. ${groups ? `${groups}. ` : ''}${pair}`;
    case 'not-separated':
      return `${audience}: no two of ${listed(order)} are separated. For any two, the interval leaves out every share of ${chosenPercent(plan.risks.smallest.value)} or more for either. ${pair}`;
    default: {
      const whole = (result.pAdjusted ?? 1) <= plan.risks.alpha;
      const open = whole
        ? `chance alone hardly gives an order as clear as this one (p ${pWords(result.pAdjusted)}), but no two are told apart by themselves, so it is undecided which are preferred`
        : `it is undecided whether any of the ${order.length} is preferred`;
      return `${audience}: ${open}. ${pair}`;
    }
  }
}

/** "A came before B in 71 % of rankings, every listener counting the same (95 % interval 50 to 88 %)." */
function primaryWords({ estimate }: AudienceResult, plan: Plan): string {
  if (estimate === null) return '';
  const name = nameIn(plan);
  const words = (share: number) => percentBeside(share, turningShares(plan));
  const forward = estimate.value >= 0.5;
  const [ahead, behind] = forward
    ? [plan.primary.first, plan.primary.second]
    : [plan.primary.second, plan.primary.first];
  const [value, lower, upper] = forward
    ? [estimate.value, estimate.lower, estimate.upper]
    : [1 - estimate.value, 1 - estimate.upper, 1 - estimate.lower];
  return `${name(ahead)} came before ${name(behind)} in ${words(value)} of rankings, every listener counting the same (${chosenPercent(estimate.level)} interval ${words(lower)} to ${words(upper)}).`;
}

function tooFew({ n, estimate }: AudienceResult, plan: Plan): string {
  if (n.listeners > 1 && estimate === null) return 'too few rankings hold both of the primary pair';
  return `even of one mind, ${listeners(n.listeners)} could not have told any two apart at α = ${plan.risks.alpha}${plan.audiences.length > 1 ? ' beside the other audiences' : ''}`;
}
