import type { Result, ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, pointsBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { countFigures, pFigures, settling } from '../audience-figures';
import { nameIn, scaleIn } from '../plan-names';

/** Differences as the sentence has them: of whichever lies nearer to the high end. */
function aheadOf(result: Result, plan: Plan) {
  const turned = result.estimate !== null && result.estimate.value < 0;
  const name = nameIn(plan);
  const [ahead, behind] = turned
    ? [plan.primary.second, plan.primary.first]
    : [plan.primary.first, plan.primary.second];
  const words = (points: number) => pointsBeside(points, turningShares(plan));
  return {
    ahead: name(ahead),
    behind: name(behind),
    words,
    value: (points: number) => (turned ? -points : points),
    range: (lower: number, upper: number): [number, number] => (turned ? [-upper, -lower] : [lower, upper]),
  };
}

export function ratingFigures(
  result: Result,
  primary: ScaleFindings | undefined,
  plan: Plan,
): { label: string; value: string }[] {
  const { estimate, n } = result;
  const { ahead, behind, words, value, range } = aheadOf(result, plan);
  return [
    ...(estimate
      ? [
          { label: `${ahead} less ${behind}, in points`, value: words(value(estimate.value)) },
          {
            label: `${chosenPercent(estimate.level)} interval`,
            value: range(estimate.lower, estimate.upper).map(words).join(' to '),
          },
        ]
      : []),
    ...pFigures(result, plan),
    { label: 'Listeners', value: String(n.listeners) },
    { label: 'Ratings on this scale', value: String(primary?.ratings ?? 0) },
    { label: 'Trials', value: String(n.trials) },
    ...countFigures(result, plan),
  ];
}

/** What an open verdict leaves open, either way, and what would settle it. */
export function ratingOpen(result: Result, plan: Plan): string | null {
  const parts: string[] = [];
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { ahead, behind, words, range } = aheadOf(result, plan);
    const [lower, upper] = range(result.alsoPossible.lower, result.alsoPossible.upper);
    const { high } = scaleIn(plan, plan.primary.scale ?? '');
    const ways = [
      ...(upper > 0 ? [`${ahead} nearer to “${high}” by up to ${words(upper)} points`] : []),
      ...(lower < 0 ? [`${behind} nearer to it by up to ${words(-lower)}`] : []),
    ];
    if (ways.length > 0) parts.push(`The data still allow ${ways.join(', or ')}.`);
  }
  if (result.verdict === 'undecided' || result.verdict === 'not-enough-data') parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}
