import type { Result, ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { nameIn } from '../plan-names';
import { measureOf } from './measure';

/** Differences as the sentence has them: of whichever lies higher. */
function aheadOf(result: Result, plan: Plan) {
  const turned = result.estimate !== null && result.estimate.value < 0;
  const name = nameIn(plan);
  const [ahead, behind] = turned
    ? [plan.primary.second, plan.primary.first]
    : [plan.primary.first, plan.primary.second];
  return {
    ahead: name(ahead),
    behind: name(behind),
    measure: measureOf(plan),
    value: (points: number) => (turned ? -points : points),
    range: (lower: number, upper: number): [number, number] => (turned ? [-upper, -lower] : [lower, upper]),
  };
}

export function ratingFigures(result: Result, primary: ScaleFindings | undefined, plan: Plan): Figure[] {
  const { estimate, n } = result;
  const { ahead, behind, measure, value, range } = aheadOf(result, plan);
  return [
    ...(estimate
      ? [
          { label: `${ahead} less ${behind}, in ${measure.unit}`, value: measure.value(value(estimate.value)) },
          {
            label: `${chosenPercent(estimate.level)} interval`,
            value: range(estimate.lower, estimate.upper).map(measure.value).join(' to '),
          },
        ]
      : []),
    ...pFigures(result, plan),
    counted('Listeners', n.listeners),
    ...(primary ? [counted('Ratings on this scale', primary.ratings)] : []),
    counted('Trials', n.trials),
    ...countFigures(result, plan),
  ];
}

/** What an open verdict leaves open, either way, and what would settle it. */
export function ratingOpen(result: Result, plan: Plan): string | null {
  const parts: string[] = [];
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { ahead, behind, measure, range } = aheadOf(result, plan);
    const [lower, upper] = range(result.alsoPossible.lower, result.alsoPossible.upper);
    const ways = [
      ...(upper > 0 ? [`${measure.higher(ahead)} by up to ${measure.value(upper)} ${measure.unit}`] : []),
      ...(lower < 0 ? [`${measure.higher(behind, upper > 0)} by up to ${measure.value(-lower)}`] : []),
    ];
    if (ways.length > 0) parts.push(`The data still allow ${ways.join(', or ')}.`);
  }
  if (result.verdict === 'undecided' || result.verdict === 'not-enough-data') parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}
