import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { distinguishers } from '../stats/distinguishers';
import { proportionInterval } from '../stats/proportion-interval';
import { heardShare } from './heard-share';
import { interactionOf } from './interaction';
import type { Analysis, AudienceResult, DifferenceDetail, Estimate } from './results';
import { type Answered, listenersOf } from './right-counts';

/** What stands beside every verdict on right answers, whatever the plan is after. */

/** What the aim of the plan decides. */
export type Decided = Pick<AudienceResult, 'verdict' | 'p' | 'pAdjusted'>;

/** The result of simulated panels, of which nothing but the verdict is looked at. */
export const barely = ({ id, outcomes, trials }: Answered, decided: Decided): AudienceResult => ({
  audience: id,
  ...decided,
  estimate: null,
  primary: null,
  preferred: null,
  pairs: [],
  difference: null,
  ratings: null,
  scores: null,
  consistency: [],
  n: { listeners: new Set(outcomes.map(({ listener }) => listener)).size, trials, days: 0, units: 0 },
  power: 0,
  alsoPossible: null,
  wouldSettle: null,
  otherRule: null,
  warnings: [],
});

/**
 * The result of one audience with its figures.
 * @param own what the aim adds: critical count, misses, limits
 * @param power to come to what the plan is after
 * @param needed listeners who would have that power as planned; null where none is told
 */
export function rightsResult(
  audience: Answered,
  decided: Decided,
  own: Pick<DifferenceDetail, 'critical' | 'misses' | 'similarity'>,
  power: number,
  needed: (verdict: Verdict) => number | null,
  plan: Plan,
  chance: number,
): AudienceResult {
  const { id, outcomes, correct, trials } = audience;
  const level = 1 - plan.risks.alpha;
  const listeners = listenersOf(outcomes);
  const { critical, misses, ...similarity } = own;
  const difference: DifferenceDetail = {
    correct,
    trials,
    critical,
    share: trials === 0 ? null : shareOf(correct, trials, level),
    ...heardShare(listeners, chance, level),
    misses,
    listeners,
    ...similarity,
  };
  const { heard } = difference;
  const { verdict, p, pAdjusted } = decided;
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  const enough = open ? needed(verdict) : null;
  return {
    audience: id,
    verdict,
    estimate: heard,
    p,
    pAdjusted,
    primary: null,
    preferred: null,
    pairs: [],
    difference,
    ratings: null,
    scores: null,
    consistency: [],
    n: {
      listeners: listeners.length,
      trials,
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power,
    alsoPossible: verdict === 'undecided' && heard ? { lower: heard.lower, upper: heard.upper } : null,
    wouldSettle: enough !== null && enough > listeners.length ? { listeners: enough } : null,
    otherRule: null,
    warnings: warningsOf(audience, listeners.length, plan, chance),
  };
}

/** Whether audiences hear it alike, by each listener's share of right answers. */
export function rightsInteraction(audiences: readonly Answered[]): Analysis['interaction'] {
  const shares = audiences.flatMap(({ id, outcomes }) =>
    listenersOf(outcomes).map(({ listener, correct, trials }) => ({ listener, audience: id, value: correct / trials })),
  );
  return interactionOf('correct', shares);
}

function shareOf(correct: number, trials: number, level: number): Estimate {
  const { lower, upper } = proportionInterval({ correct, trials, level, method: 'clopper-pearson' });
  return { name: 'correct', value: correct / trials, lower, upper, level };
}

/** Keys of words, with the numbers that they need. */
function warningsOf({ correct, trials, planned }: Answered, listeners: number, plan: Plan, chance: number): string[] {
  const warnings: string[] = [];
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  // No share is below 0, whatever came, so the interval doesn't show it.
  const level = 1 - plan.risks.alpha;
  if (trials > 0 && distinguishers({ correct, trials, chance, level }).belowChance) {
    warnings.push(`fewer-right-than-guessing:${correct}:${trials}`);
  }
  return warnings;
}
