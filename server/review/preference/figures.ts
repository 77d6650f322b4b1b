import type { Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { pWords } from '../figures';
import { nameIn } from '../plan-names';

/** Shares as the sentence has them: of whoever is ahead. */
export function aheadOf(result: Result, plan: Plan) {
  const [primary] = result.pairs;
  const turned = result.estimate !== null && result.estimate.value < 0.5;
  const words = (share: number) => percentBeside(share, turningShares(plan));
  return {
    name: nameIn(plan)((turned ? primary?.second : primary?.first) ?? ''),
    value: (share: number) => (turned ? 1 - share : share),
    words,
    range: (lower: number, upper: number) =>
      turned ? `${words(1 - upper)} to ${words(1 - lower)}` : `${words(lower)} to ${words(upper)}`,
  };
}

export function preferenceFigures(result: Result, plan: Plan): Figure[] {
  const { estimate, n } = result;
  const { name, value, words, range } = aheadOf(result, plan);
  const [primary] = result.pairs;
  const own = primary?.listeners ?? 0;
  return [
    ...(estimate
      ? [
          { label: `Share for ${name}`, value: words(value(estimate.value)) },
          { label: `${chosenPercent(estimate.level)} interval`, value: range(estimate.lower, estimate.upper) },
        ]
      : []),
    ...pFigures(result, plan),
    counted('Listeners', own === n.listeners ? own : `${own} of ${n.listeners}`),
    ...(result.pairs.length > 1
      ? [counted('Trials of this pair', primary?.trials ?? 0), counted('Trials of all pairs', n.trials)]
      : [counted('Trials', n.trials)]),
    ...countFigures(result, plan),
  ];
}

/** What an open verdict leaves open, and what would settle it. */
export function preferenceOpen(result: Result, plan: Plan): string | null {
  if (result.verdict !== 'undecided' && result.verdict !== 'not-enough-data') return null;
  const parts: string[] = [];
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { lower, upper } = result.alsoPossible;
    const { name, range } = aheadOf(result, plan);
    parts.push(`The data still allow shares for ${name} from ${range(lower, upper)}.`);
  }
  // One-sided, and the data leave out what the plan looked for: nothing to find by asking again.
  const leftOut = plan.risks.sides === 'one-sided' && (result.estimate?.upper ?? 1) < plan.risks.smallest.value;
  if (!leftOut) parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}

export function otherRuleNote(result: Result, plan: Plan): string | null {
  if (!result.otherRule) return null;
  const { rule, share, p } = result.otherRule;
  const how = rule === 'split' ? 'counted as half for each' : 'left out';
  if (share === null) {
    return `Had “no preference” been ${how}, nothing would be left to count. The plan’s rule decides.`;
  }
  const { name, value, words } = aheadOf(result, plan);
  const uncorrected = plan.audiences.length > 1 ? ' uncorrected' : '';
  return `Had “no preference” been ${how}: ${words(value(share))} for ${name}, p ${pWords(p)}${uncorrected}. The plan’s rule decides.`;
}
