import type { HabituationFindings, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import { askedAlone } from '../audience-figures';
import { measureOf } from './measure';

/** What keeps ratings from being misread: where test and interval part, and what time did to them. */
export function ratingCautions(
  result: Result,
  habituation: readonly HabituationFindings[] | null,
  plan: Plan,
): string[] {
  const { verdict, estimate, p } = result;
  if (estimate === null || verdict === 'not-enough-data') return [];
  const { alpha, smallest } = plan.risks;
  const cautions: string[] = [];
  if (verdict === 'not-separated') {
    cautions.push(
      `This is about the panel as a whole and ${measureOf(plan).scale.shape === 'ticked' ? 'this word' : 'this scale'}: single listeners may differ strongly, and it doesn’t say that the two sound alike.`,
    );
    if (Math.max(estimate.upper, -estimate.lower) >= smallest.value) {
      const each = alpha / plan.audiences.length;
      cautions.push(
        `The interval reaches ${measureOf(plan).amount(smallest.value)}: it is the more cautious of the two. That they are closer is shown by two one-sided tests, which go with a ${chosenPercent(1 - 2 * each)} interval.`,
      );
    }
  }
  if (verdict === 'undecided' && p !== null && p <= alpha) cautions.push(askedAlone('a difference', plan));
  const drifting = habituation?.some(
    (one) => one.audience === result.audience && one.scale === plan.primary.scale && one.word === 'drifting',
  );
  if (drifting) {
    cautions.push(
      'Ratings on this scale moved from sitting to sitting, and the verdict weighs first and later sittings alike. Listeners who get used to the samples, and a level or a room that differed between the sessions, look the same here. See “Over the sittings”.',
    );
  }
  return cautions;
}
