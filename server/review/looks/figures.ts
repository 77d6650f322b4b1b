import type { LooksDetail } from '../../../protocols/results';
import type { Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { nameIn } from '../plan-names';

/** What an audience's verdict rests on in a plan with looks. */
export function lookedFigures(result: Result, looks: LooksDetail, plan: Plan): Figure[] {
  const { estimate, n } = result;
  const { counted: done, after } = looks;
  const words = (share: number) => percentBeside(share, turningShares(plan));
  const prefers = plan.risks.smallest.kind === 'share';
  return [
    ...(estimate
      ? [
          prefers
            ? {
                label: `Listeners leaning to ${nameIn(plan)(plan.primary.first)}`,
                value: words(estimate.value),
              }
            : { label: 'Truly heard', value: `${words(estimate.value)} of trials` },
          {
            label: `${chosenPercent(estimate.level)} interval, whenever one stops`,
            value: `${words(estimate.lower)} to ${words(estimate.upper)}`,
          },
        ]
      : []),
    counted(prefers ? 'Net answers counted' : 'Answers counted', `${done} of ${done + after}`),
    ...pFigures(result, plan),
    counted('Listeners', n.listeners),
    counted('Trials', n.trials),
    ...countFigures(result, plan),
  ];
}

/** Where bound, p and interval part. */
export function lookedCautions({ verdict, estimate, pAdjusted }: Result, looks: LooksDetail, plan: Plan): string[] {
  if (looks.state !== 'shown' || verdict === 'undecided' || estimate === null) return [];
  const none = plan.risks.smallest.kind === 'share' ? 0.5 : 0;
  return [
    ...((pAdjusted ?? 0) > plan.risks.alpha + 1e-9
      ? ['p is a little above α: Wald’s own bounds may exceed the planned risk so far. The bound decides.']
      : []),
    ...(estimate.lower <= none && none <= estimate.upper
      ? [
          `The interval reaches ${none === 0 ? 'down to guessing' : 'to one half'}: it holds for every effect, at any time, and the plan’s test asks about one. The bound decides.`,
        ]
      : []),
  ];
}

/** What an open verdict leaves open. */
export function lookedOpen(result: Result, plan: Plan): string | null {
  const parts: string[] = [];
  const words = (share: number) => percentBeside(share, turningShares(plan));
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { lower, upper } = result.alsoPossible;
    parts.push(
      plan.risks.smallest.kind === 'share'
        ? `The data still allow shares of listeners for ${nameIn(plan)(plan.primary.first)} from ${words(lower)} to ${words(upper)}.`
        : `The data still allow a difference that is truly heard in up to ${words(upper)} of trials.`,
    );
  }
  if (result.wouldSettle) parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}
