import { alphaEach } from '../../protocols/alpha-each';
import { tickedDifferences, tickedPower, ticksPlanned } from '../../protocols/check-all-power';
import { protocolOf } from '../../protocols/index';
import { assumedTasteSpread, plannedRepeats } from '../../protocols/paired-preference-analysis';
import { rankingPower } from '../../protocols/ranking-power';
import { rightsPower, rightsTrialsPlanned } from '../../protocols/rights-power';
import { asksOneWay } from '../../protocols/similarity';
import { chanceBetween, type ShownBetween, shownBetween } from '../../protocols/similarity-power';
import { sizedPlan } from '../../protocols/sized-plan';
import type { YesNoMethod } from '../../protocols/yes-no-counts';
import { sittingsPlanned, yesNoPower } from '../../protocols/yes-no-power';
import type { Plan } from '../../shared/plan';
import { preferencePower } from '../../stats/preference-power';
import { assumedFor, differencesOn, powerOfMeans } from './assumed-ratings';
import { remembered } from './remembered';

/** How the chance to show something is told of a method: over which true effects, and how exactly. */
export interface PowerLaw {
  /** Chance that one audience of so many listeners shows what the plan is after, when the truth is `effect`. */
  at(listeners: number, effect: number): number;
  /** The largest effect that there can be. */
  most: number;
  /** The effect of nothing. */
  none: number;
  /** It is exact and quick: a whole curve may be drawn of it. Else it is simulated, and drawn through `points`. */
  exact: boolean;
  points?: readonly number[];
  /** Sameness is shown, so that a smaller effect is shown more often. */
  falls: boolean;
}

/** By the measure in which the plan says its smallest effect. */
export function powerLaw(whole: Plan): PowerLaw {
  const plan = sizedPlan(whole);
  const { protocol, alpha } = { protocol: protocolOf(plan.method.id), alpha: alphaEach(plan) };
  const { chance } = protocol;
  if (protocol.family === 'difference' && chance !== null) {
    const each = rightsTrialsPlanned(plan);
    return plan.aim === 'similarity'
      ? similarityLaw(plan, chance, each)
      : {
          at: (listeners, effect) => rightsPower(listeners * each, chance, alpha, effect),
          most: 1,
          none: 0,
          exact: true,
          falls: false,
        };
  }
  if (protocol.family === 'difference') {
    const method = plan.method.id as YesNoMethod;
    const at = (listeners: number, effect: number) =>
      yesNoPower(method, sittingsPlanned(plan, listeners), alpha, effect);
    return { at, most: 5, none: 0, exact: false, points: [0.5, 1, 1.5, 2, 3], falls: false };
  }
  if (protocol.smallest === 'ticked') {
    const times = ticksPlanned(plan);
    const at = (listeners: number, effect: number) => tickedPower(listeners, effect, times, alpha);
    // With several times it is simulated.
    return { at, most: 0.98, none: 0, exact: times === 1, points: tickedDifferences, falls: false };
  }
  if (protocol.family === 'rating') {
    const assumed = assumedFor(plan);
    const at = (listeners: number, effect: number) => powerOfMeans(assumed, listeners, effect, alpha);
    // So far apart are two samples at the ends of the scale; beyond two thirds of it a curve tells nothing more.
    return { at, most: (assumed.widest * 2) / 3, none: 0, exact: true, points: differencesOn(assumed), falls: false };
  }
  if (protocol.family === 'ranking') {
    const at = (listeners: number, effect: number) => rankingPower(plan, listeners, effect);
    return { at, most: 0.98, none: 0.5, exact: false, points: [0.6, 0.7, 0.8, 0.9], falls: false };
  }
  const alternative = plan.risks.sides === 'one-sided' ? ('greater' as const) : ('two-sided' as const);
  return {
    at: (listeners, share) => preferenceShown(plan, alpha, alternative, listeners, share),
    most: 0.98,
    none: 0.5,
    exact: false,
    points: [0.6, 0.7, 0.8, 0.9],
    falls: false,
  };
}

/** By 2,000 simulated panels. */
function preferenceShown(
  plan: Plan,
  alpha: number,
  alternative: 'greater' | 'two-sided',
  listeners: number,
  share: number,
): number {
  const design = { repeats: plannedRepeats(plan), gamma: assumedTasteSpread, alpha, alternative, seed: 1 };
  const input = { ...design, share, listeners };
  return remembered(['preference power', input], () => preferencePower(input).power);
}

/** Few enough right answers, and where it is asked which has more not too few, by the rule that decides, where all listeners hear alike. */
function similarityLaw(plan: Plan, chance: number, each: number): PowerLaw {
  const { beta, smallest } = plan.risks;
  const risk = beta / plan.audiences.length;
  const known = new Map<number, ShownBetween | null>();
  return {
    at(listeners, effect) {
      if (!known.has(listeners)) {
        const groups = [{ listeners, trials: each }];
        known.set(listeners, shownBetween(groups, chance, smallest.value, risk, asksOneWay(plan)));
      }
      return chanceBetween(known.get(listeners) ?? null, listeners * each, chance, effect);
    },
    most: 1,
    none: 0,
    exact: true,
    falls: true,
  };
}

/** The smallest effect that so many listeners show with that chance; null where even the largest isn't. */
export function smallestShown(law: PowerLaw, listeners: number, chance: number): number | null {
  if (law.falls || law.at(listeners, law.most) < chance) return null;
  let [low, high] = [law.none, law.most];
  // A simulated chance is good to a few points, so there is nothing to gain by more steps.
  const steps = law.exact ? 30 : 6;
  for (let step = 0; step < steps; step++) {
    const middle = (low + high) / 2;
    if (law.at(listeners, middle) >= chance) high = middle;
    else low = middle;
  }
  return high;
}
