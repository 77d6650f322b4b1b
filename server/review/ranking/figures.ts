import type { Result } from '../../../shared/findings';
import type { RankingFindings } from '../../../shared/findings-ranking';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { nameIn } from '../plan-names';

/** The primary pair as the sentence has it: of whichever came first more often. */
export function aheadInPair(result: Result, plan: Plan) {
  const turned = (result.estimate?.value ?? 1) < 0.5;
  const [ahead, behind] = turned
    ? [plan.primary.second, plan.primary.first]
    : [plan.primary.first, plan.primary.second];
  const words = (share: number) => percentBeside(share, turningShares(plan));
  const name = nameIn(plan);
  return {
    ahead: name(ahead),
    behind: name(behind),
    value: (share: number) => words(turned ? 1 - share : share),
    range: (lower: number, upper: number) =>
      turned ? `${words(1 - upper)} to ${words(1 - lower)}` : `${words(lower)} to ${words(upper)}`,
  };
}

export function rankingFigures(result: Result, ranking: RankingFindings | undefined, plan: Plan): Figure[] {
  const { estimate, n } = result;
  const { ahead, behind, value, range } = aheadInPair(result, plan);
  return [
    ...(estimate
      ? [
          { label: `Rankings with ${ahead} before ${behind}`, value: value(estimate.value) },
          { label: `${chosenPercent(estimate.level)} interval`, value: range(estimate.lower, estimate.upper) },
        ]
      : []),
    ...pFigures(result, plan).map(({ label, value: p }) => ({
      label: label.replace(/^p/, 'p of the whole order'),
      value: p,
    })),
    ...(ranking?.agreement == null ? [] : [{ label: 'Agreement (Kendall’s W)', value: decimals(ranking.agreement) }]),
    counted('Listeners', n.listeners),
    counted('Rankings', n.trials),
    ...countFigures(result, plan),
  ];
}

/** What an open verdict leaves open of the primary pair, and what would settle it. */
export function rankingOpen(result: Result, plan: Plan): string | null {
  if (result.verdict !== 'undecided' && result.verdict !== 'not-enough-data') return null;
  const parts: string[] = [];
  if (result.verdict === 'undecided' && result.alsoPossible) {
    const { ahead, behind, range } = aheadInPair(result, plan);
    const { lower, upper } = result.alsoPossible;
    parts.push(`The data still allow that ${ahead} comes before ${behind} in ${range(lower, upper)} of rankings.`);
  }
  return [...parts, ...settling(result, plan)].join(' ') || null;
}
