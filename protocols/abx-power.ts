import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { power } from '../stats/power';
import { sizesFor } from '../stats/sample-size';
import { type AbxHandling, abxHandling } from './abx-handling';
import { alphaEach } from './alpha-each';
import type { DifferenceDetail } from './results';

/** True abilities for which the risk of a miss is told, beside the one that the plan is after. */
const abilities = [0.1, 0.2, 0.3, 0.5, 0.7];

/** Exact power of the one-sided binomial over all trials, for a difference truly heard in such a share of them. */
export function abxPower(trials: number, alpha: number, heard: number): number {
  return trials === 0 ? 0 : power({ trials, chance: 1 / 2, alpha, pd: heard }).power;
}

/** Chance that so many trials miss a difference, at several true abilities, from the hardest to the easiest. */
export function abxMisses(trials: number, alpha: number, planned: number): DifferenceDetail['misses'] {
  return [...new Set([...abilities, planned])]
    .sort((a, b) => a - b)
    .map((heard) => ({ heard, miss: 1 - abxPower(trials, alpha, heard) }));
}

/** Scored trials of one listener over all sittings, when none is missed or lost. */
export function abxTrialsPlanned(plan: Plan): number {
  const { trials } = plan.method.spec as { trials: number };
  return trials * plan.sessions.count;
}

/**
 * What one audience needs to find the planned difference at the planned risks: the number of listeners from which on
 * power never falls short again, since exact power goes up and down like a saw.
 * @returns null where it would take more than 100,000 trials
 */
export function abxNeeded(plan: Plan): { trials: number; listeners: number } | null {
  const { beta, smallest } = plan.risks;
  const alpha = alphaEach(plan);
  const sizes = sizesFor(1 / 2, alpha, 'greater', (1 + smallest.value) / 2, 1 - beta);
  if (sizes === null) return null;
  const each = abxTrialsPlanned(plan);
  let listeners = Math.ceil(sizes.lasting.trials / each);
  // In whole listeners the saw has fewer teeth, so fewer may do.
  while (listeners > 1 && abxPower((listeners - 1) * each, alpha, smallest.value) >= 1 - beta) listeners--;
  return { trials: listeners * each, listeners };
}

/** What an ABX study of that size can find. */
export interface AbxFinds {
  /** What one audience is sure to be tested at. */
  alpha: number;
  /** Scored trials of one listener over all sittings. */
  trialsEach: number;
  audiences: {
    audience: AudienceId;
    listeners: number;
    trials: number;
    /** Right answers from which on the difference is shown; null: no count is enough. */
    critical: number | null;
    /** Chance of finding the planned difference. */
    power: number;
    misses: DifferenceDetail['misses'];
  }[];
  /** For each audience, since all are after the same difference. */
  needed: { trials: number; listeners: number } | null;
  handling: AbxHandling | null;
}

/**
 * Power of a planned ABX study, for each audience apart, at the α that is left when another audience shows nothing.
 *
 * Counts every trial and assumes one ability in all of them. Where some listeners hear it and others don't, the risk of
 * a false find stays as it is, since under the null every trial is a guess of its own; but a panel may happen to hold few
 * of those who hear it, and power is less than stated.
 */
export function abxFinds(plan: Plan): AbxFinds {
  const alpha = alphaEach(plan);
  const heard = plan.risks.smallest.value;
  const trialsEach = abxTrialsPlanned(plan);
  return {
    alpha,
    trialsEach,
    audiences: plan.audiences.map(({ id, listeners }) => {
      const trials = listeners * trialsEach;
      const found = power({ trials, chance: 1 / 2, alpha, pd: heard });
      return {
        audience: id as AudienceId,
        listeners,
        trials,
        critical: found.count,
        power: found.power,
        misses: abxMisses(trials, alpha, heard),
      };
    }),
    needed: abxNeeded(plan),
    handling: abxHandling(plan),
  };
}
