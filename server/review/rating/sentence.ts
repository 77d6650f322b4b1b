import { fewestTested } from '../../../protocols/over-listeners';
import type { AudienceResult, RatingDetail } from '../../../protocols/protocol';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, pointsWords, turningShares } from '../../plan-words';
import { listeners, pointsBeside } from '../figures';
import { nameIn, scaleIn } from '../plan-names';

/** How far two lie apart on the scale that the verdict rests on: which lies nearer to its high end, and by how much. */
export function ratingSentence(result: AudienceResult, { scales }: RatingDetail, plan: Plan, audience: string): string {
  const name = nameIn(plan);
  const [first, second] = [name(plan.primary.first), name(plan.primary.second)];
  const scale = scaleIn(plan, plan.primary.scale ?? '');
  const { estimate } = result;
  if (estimate === null || result.verdict === 'not-enough-data') {
    const rated = scales.find(({ primary }) => primary)?.listeners ?? 0;
    return `There are not enough data from ${audience} to say whether ${first} and ${second} differ on the scale “${scale.name}”: ${tooFew(rated)}.`;
  }
  const forward = estimate.value >= 0;
  const [ahead, behind] = forward ? [first, second] : [second, first];
  const [value, lower, upper] = forward
    ? [estimate.value, estimate.lower, estimate.upper]
    : [-estimate.value, -estimate.upper, -estimate.lower];
  const words = (points: number): string => pointsBeside(points, turningShares(plan));
  const interval = `(${chosenPercent(estimate.level)} interval ${words(lower)} to ${words(upper)})`;
  const by = `by ${words(value)} points on a scale of ${scale.points} ${interval}`;
  const nearer = `nearer to “${scale.high}” than ${behind}`;
  const seen =
    Math.abs(value) < 1e-9
      ? `The two have the same mean on a scale of ${scale.points} points ${interval}`
      : `${ahead} was rated ${nearer} ${by}`;
  switch (result.verdict) {
    case 'difference-shown':
    case 'preferred':
      return `${audience}: on the scale “${scale.name}”, ${ahead} is rated ${nearer}, ${by}.`;
    case 'similarity-shown':
    case 'not-separated':
      return `${audience}: on the scale “${scale.name}”, ${first} and ${second} are not separated. ${seen}, which leaves out every difference of ${pointsWords(plan.risks.smallest.value)} or more either way.`;
    default:
      return `${audience}: it is undecided whether ${first} and ${second} differ on the scale “${scale.name}”. ${seen}.`;
  }
}

function tooFew(rated: number): string {
  if (rated === 0) return 'no listener rated both';
  if (rated < fewestTested) {
    return `only ${listeners(rated)} rated both, and a test takes ${fewestTested} at least`;
  }
  return `${listeners(rated)} rated both, all of them exactly as far apart, so nothing tells how sure that is`;
}
