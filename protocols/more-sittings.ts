import { type Plan, planLimits } from '../shared/plan';
import { preferencePower } from '../stats/preference-power';
import { alphaEach } from './alpha-each';
import { tickedPower, ticksPlanned } from './check-all-power';
import { assumedSd, plannedVarianceLeft } from './first-impressions-power';
import { methodOf } from './index';
import { assumedTasteSpread, plannedRepeats } from './paired-preference-analysis';
import { rankingPower } from './ranking-power';
import { rightsPower, rightsTrialsPlanned } from './rights-power';
import { asksOneWay } from './similarity';
import { betaEach, chanceBetween, shownBetween } from './similarity-power';
import type { YesNoMethod } from './yes-no-counts';
import { sittingsPlanned, yesNoPower } from './yes-no-power';

/**
 * In how many sittings each the listeners of an audience would have the planned power, in a new study that differs from
 * the plan in nothing else. By the same power that its listeners are planned by, method for method. Of ratings by what
 * more listeners would take: listeners and the variance of their own means go together, and of it sittings divide the
 * part that isn't taste, as the plan assumes it (`assumedSd`).
 *
 * @param plan with the audiences that its α is shared by
 * @param listeners of the audience
 * @param needed how many of them would have that power in the planned sittings
 * @returns more sittings than the plan has; null where so many as a plan can have don't do
 */
export function sittingsNeeded(plan: Plan, listeners: number, needed: number): number | null {
  const at = (count: number): Plan => ({ ...plan, sessions: { ...plan.sessions, count } });
  const enough = (count: number): boolean => isEnough(at(count), plan, listeners, needed);
  let [low, high] = [plan.sessions.count, planLimits.sessions as number];
  if (low >= high || listeners < 1 || !enough(high)) return null;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function isEnough(plan: Plan, asPlanned: Plan, listeners: number, needed: number): boolean {
  const { alpha, beta, smallest, sides } = plan.risks;
  const { family, chance } = methodOf(plan).protocol;
  const power = 1 - beta;
  if (plan.aim === 'similarity' && chance !== null) {
    const trials = rightsTrialsPlanned(plan);
    const shown = shownBetween([{ listeners, trials }], chance, smallest.value, betaEach(plan), asksOneWay(plan));
    return chanceBetween(shown, listeners * trials, chance, 0) >= 1 - alpha;
  }
  switch (smallest.kind) {
    case 'heard':
      return rightsPower(listeners * rightsTrialsPlanned(plan), chance ?? 0, alphaEach(plan), smallest.value) >= power;
    case 'd-prime': {
      const sittings = sittingsPlanned(plan, listeners);
      return yesNoPower(plan.method.id as YesNoMethod, sittings, alphaEach(plan), smallest.value) >= power;
    }
    case 'ticked':
      return tickedPower(listeners, smallest.value, ticksPlanned(plan), alphaEach(plan)) >= power;
    case 'points': {
      const left = assumedSd(plannedVarianceLeft(plan)) / assumedSd(plannedVarianceLeft(asPlanned));
      return Math.ceil(needed * left ** 2) <= listeners;
    }
    case 'share': {
      if (family === 'ranking') return rankingPower(plan, listeners, smallest.value) >= power;
      const alternative = sides === 'one-sided' ? ('greater' as const) : ('two-sided' as const);
      const repeats = plannedRepeats(plan);
      const design = { listeners, repeats, gamma: assumedTasteSpread, share: smallest.value, alpha: alphaEach(plan) };
      return preferencePower({ ...design, alternative, seed: 1 }).power >= power;
    }
  }
}
