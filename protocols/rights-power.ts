import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { power } from '../stats/power';
import { sizesFor } from '../stats/sample-size';
import { alphaEach } from './alpha-each';
import type { DifferenceDetail } from './results';
import { type WaysOfAsking, waysOfAsking } from './ways-of-asking';

/** True abilities for which the risk of a miss is told, beside the one that the plan is after. */
const abilities = [0.1, 0.2, 0.3, 0.5, 0.7];

/** Exact power of the one-sided binomial over all trials, for a difference truly heard in such a share of them. */
export function rightsPower(trials: number, chance: number, alpha: number, heard: number): number {
  return trials === 0 ? 0 : power({ trials, chance, alpha, pd: heard }).power;
}

/** Right answers from which on so many trials show a difference (null: no count does), and how likely they come to it. */
export function rightsFound(
  trials: number,
  chance: number,
  alpha: number,
  heard: number,
): { critical: number | null; power: number } {
  const found = power({ trials, chance, alpha, pd: heard });
  return { critical: found.count, power: found.power };
}

/** Chance that so many trials miss a difference, at several true abilities, from the hardest to the easiest. */
export function rightsMisses(
  trials: number,
  chance: number,
  alpha: number,
  planned: number,
): DifferenceDetail['misses'] {
  return [...new Set([...abilities, planned])]
    .sort((a, b) => a - b)
    .map((heard) => ({ heard, miss: 1 - rightsPower(trials, chance, alpha, heard) }));
}

/** Scored trials of one listener over all sittings, when none is missed or lost. */
export function rightsTrialsPlanned(plan: Pick<Plan, 'method' | 'sessions'>): number {
  const { trials } = plan.method.spec as { trials: number };
  return trials * plan.sessions.count;
}

/** How many trials find a difference with those risks: the fewest, and from which number on power never falls short. */
export interface RightsSizes {
  smallest: number;
  lasting: number;
}

/**
 * Trials that find a difference truly heard in such a share of them with power 1 − β, exactly: the smallest number, as the
 * tables of the standards print it, and the one from which on power never falls short again, since exact power goes up
 * and down like a saw.
 * @returns null where it would take more than 100,000 trials
 */
export function rightsSizes(chance: number, alpha: number, beta: number, heard: number): RightsSizes | null {
  const sizes = sizesFor(chance, alpha, 'greater', chance + (1 - chance) * heard, 1 - beta);
  return sizes && { smallest: sizes.smallest.trials, lasting: sizes.lasting.trials };
}

/**
 * What one audience needs to find the planned difference at the planned risks: the number of listeners from which on
 * power never falls short again.
 * @returns null where it would take more than 100,000 trials
 */
export function rightsNeeded(plan: Plan, chance: number): { trials: number; listeners: number } | null {
  const { beta, smallest } = plan.risks;
  const alpha = alphaEach(plan);
  const sizes = rightsSizes(chance, alpha, beta, smallest.value);
  if (sizes === null) return null;
  const each = rightsTrialsPlanned(plan);
  let listeners = Math.ceil(sizes.lasting / each);
  // In whole listeners the saw has fewer teeth, so fewer may do.
  while (listeners > 1 && rightsPower((listeners - 1) * each, chance, alpha, smallest.value) >= 1 - beta) listeners--;
  return { trials: listeners * each, listeners };
}

/** What a study of that size can find. */
export interface RightsFinds {
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
  /** The same difference to the ear, asked in every way. Null where the plan's own way takes too many trials. */
  ways: WaysOfAsking | null;
}

/**
 * Power of a planned study, for each audience apart, at the α that is left when another audience shows nothing.
 *
 * Counts every trial and assumes one ability in all of them. Where some listeners hear it and others don't, the risk of
 * a false find stays as it is, since under the null every trial is a guess of its own; but a panel may happen to hold few
 * of those who hear it, and power is less than stated.
 */
export function rightsFinds(plan: Plan, chance: number): RightsFinds {
  const alpha = alphaEach(plan);
  const heard = plan.risks.smallest.value;
  const trialsEach = rightsTrialsPlanned(plan);
  return {
    alpha,
    trialsEach,
    audiences: plan.audiences.map(({ id, listeners }) => {
      const trials = listeners * trialsEach;
      return {
        audience: id as AudienceId,
        listeners,
        trials,
        ...rightsFound(trials, chance, alpha, heard),
        misses: rightsMisses(trials, chance, alpha, heard),
      };
    }),
    needed: rightsNeeded(plan, chance),
    ways: waysOfAsking(plan),
  };
}
