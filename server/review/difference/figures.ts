import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { mostFigure, similarityFigures } from './similarity';

export function differenceFigures(
  result: Result,
  { correct, trials, critical, heard, heardOf, listeners, similarity }: Difference,
  plan: Plan,
): Figure[] {
  const byListener = heardOf === 'average-listener';
  const share = (value: number) => percentBeside(value, turningShares(plan));
  return [
    ...(heard
      ? [
          {
            label: byListener ? 'Truly heard by the average listener' : 'Truly heard',
            value: `${share(heard.value)} of trials`,
          },
          {
            label: `${chosenPercent(heard.level)} interval${byListener ? ', over listeners' : ''}`,
            value: `${share(heard.lower)} to ${share(heard.upper)}`,
          },
        ]
      : []),
    ...(similarity ? similarityFigures(similarity, plan) : []),
    { label: 'Right answers', value: `${correct} of ${trials}` },
    ...(plan.aim === 'similarity'
      ? mostFigure(
          similarity,
          listeners.map((one) => one.trials),
          plan,
        )
      : [{ label: 'Needed to show it', value: critical === null ? 'more than were asked' : String(critical) }]),
    ...pFigures(result, plan),
    counted('Listeners', result.n.listeners),
    counted('Trials', trials),
    ...countFigures(result, plan),
  ];
}

/** What an open verdict leaves open: the largest share the data still allow, and what would settle it. */
export function differenceOpen(result: Result, plan: Plan): string | null {
  const parts: string[] = [];
  // What a test for similarity still allows is its sentence.
  if (result.verdict === 'undecided' && result.alsoPossible && plan.aim !== 'similarity') {
    const upper = percentBeside(result.alsoPossible.upper, turningShares(plan));
    const whose =
      result.difference?.heardOf === 'average-listener' ? 'the average listener truly hears' : 'is truly heard';
    parts.push(`The data still allow a difference that ${whose} in up to ${upper} of trials.`);
  }
  if (result.verdict === 'undecided' || result.verdict === 'not-enough-data') parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}
