import { fewestTested } from '../../../protocols/over-listeners';
import type { AudienceResult, RatingDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percent } from '../../number-words';
import { listeners } from '../figures';
import { nameIn } from '../plan-names';
import { type Measure, measureOf } from './measure';

/**
 * How far two lie apart in what the verdict rests on: which lies higher, and by how much. Whom a rule of the plan left out
 * is said first.
 */
export function ratingSentence(result: AudienceResult, ratings: RatingDetail, plan: Plan, audience: string): string {
  const name = nameIn(plan);
  const [first, second] = [name(plan.primary.first), name(plan.primary.second)];
  const measure = measureOf(plan);
  const { estimate } = result;
  const screened = screenedWords(ratings);
  const who = `${audience}${screened}`;
  if (estimate === null || result.verdict === 'not-enough-data') {
    return `There are not enough data from ${who}${screened ? ',' : ''} to say whether ${first} and ${second} differ${measure.about}: ${measure.scale.shape === 'ticked' ? tooFewTicks(result) : tooFew(result)}.`;
  }
  const forward = estimate.value >= 0;
  const [ahead, behind] = forward ? [first, second] : [second, first];
  const [value, lower, upper] = forward
    ? [estimate.value, estimate.lower, estimate.upper]
    : [-estimate.value, -estimate.upper, -estimate.lower];
  const interval = `(${chosenPercent(estimate.level)} interval ${measure.value(lower)} to ${measure.value(upper)})`;
  const by = `by ${measure.value(value)} ${measure.unit}${measure.onWhat} ${interval}`;
  // Closeness is tested one side at a time; the interval, which looks both ways at once, may reach further.
  const within = Math.max(upper, -lower) < plan.risks.smallest.value;
  const leads = measure.above(ahead, behind, 'was');
  const seen =
    Math.abs(value) < 1e-9 ? `${measure.same} ${interval}` : `${leads.charAt(0).toUpperCase()}${leads.slice(1)} ${by}`;
  const shares = sharesWords(ratings, plan, measure);
  switch (result.verdict) {
    case 'difference-shown':
    case 'preferred':
      return `${who}: ${measure.lead}${measure.above(ahead, behind, 'is')}, ${by}.${shares}`;
    case 'similarity-shown':
    case 'not-separated':
      return `${who}: ${measure.lead}${first} and ${second} are not separated. ${seen}${within ? ', which leaves out' : '; two one-sided tests leave out'} every difference of ${measure.amount(plan.risks.smallest.value)} or more either way.${shares}`;
    default:
      return `${who}: it is undecided whether ${first} and ${second} differ${measure.about}. ${seen}.${shares}`;
  }
}

/** Of how many a rule of the plan left some out; empty where it left out nobody. */
function screenedWords({ screening }: RatingDetail): string {
  if (!screening || screening.dropped.length === 0) return '';
  const out = screening.dropped.length;
  return `, without the ${out} of ${listeners(screening.kept + out)} whom the rule of the plan leaves out`;
}

/** Of a word that was ticked: by how many for each. */
function sharesWords({ ticked }: RatingDetail, plan: Plan, { scale }: Measure): string {
  if (scale.shape !== 'ticked') return '';
  const shares = ticked?.find(({ attribute }) => attribute === scale.id)?.shares ?? [];
  const of = (id: string) => shares.find(({ prototype }) => prototype === id);
  const [first, second] = [of(plan.primary.first), of(plan.primary.second)];
  if (!first || !second) return '';
  const name = nameIn(plan);
  return ` It is ticked by ${percent(first.value)} for ${name(plan.primary.first)} and by ${percent(second.value)} for ${name(plan.primary.second)}.`;
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

/** Of ticks a few listeners can't show anything, even of one mind. */
const tooFewTicks = ({ estimate, n }: AudienceResult): string =>
  estimate === null ? 'nobody answered about both' : `${listeners(n.listeners)} could not show one, even of one mind`;
