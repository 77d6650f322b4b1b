import { fewestTested } from '../../../protocols/over-listeners';
import type { AudienceResult } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, pointsBeside } from '../../number-words';
import { pointsWords, turningShares } from '../../plan-words';
import { listeners } from '../figures';
import { nameIn, scaleIn } from '../plan-names';

/** How far two lie apart on the scale that the verdict rests on: which lies nearer to its high end, and by how much. */
export function ratingSentence(result: AudienceResult, plan: Plan, audience: string): string {
  const name = nameIn(plan);
  const [first, second] = [name(plan.primary.first), name(plan.primary.second)];
  const scale = scaleIn(plan, plan.primary.scale ?? '');
  const { estimate } = result;
  if (estimate === null || result.verdict === 'not-enough-data') {
    return `There are not enough data from ${audience} to say whether ${first} and ${second} differ on the scale “${scale.name}”: ${tooFew(result)}.`;
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
  // Closeness is tested one side at a time; the interval, which looks both ways at once, may reach further.
  const within = Math.max(upper, -lower) < plan.risks.smallest.value;
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
      return `${audience}: on the scale “${scale.name}”, ${first} and ${second} are not separated. ${seen}${within ? ', which leaves out' : '; two one-sided tests leave out'} every difference of ${pointsWords(plan.risks.smallest.value)} or more either way.`;
    default:
      return `${audience}: it is undecided whether ${first} and ${second} differ on the scale “${scale.name}”. ${seen}.`;
  }
}

/** As the method warned: fewer than a test takes rated both, or all of them alike. */
function tooFew({ warnings }: AudienceResult): string {
  const warned = warnings.find((warning) => warning.startsWith('rated-both:'));
  if (!warned) return 'all who rated both put them exactly as far apart, so nothing tells how sure that is';
  const rated = Number(warned.split(':')[1]);
  return rated === 0
    ? 'no listener rated both'
    : `only ${listeners(rated)} rated both, and a test takes ${fewestTested} at least`;
}
