import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { comparedIn, comparedPlan } from './controls';
import { holm } from './holm';
import { meanOf } from './own-ratings';
import { byPerson, type GainPair, gainMeasure, gainOver } from './pair-gains';
import type { Outcome } from './protocol';
import type { AudienceResult, Estimate } from './results';
import { type OwnApart, tickedApart } from './ticked-apart';

export interface PriceClass {
  rank: number;
  words: string;
  prototypes: PrototypeId[];
}

export interface PriceStep {
  from: PriceClass;
  to: PriceClass;
  /** The dearer first. */
  pairs: GainPair[];
  /** It is the one pair that the verdict is about. */
  primary: boolean;
  /** Listeners who said something of it. */
  listeners: number;
  /** For the dearer: share of choices or of rankings, or how much higher it came out. */
  gain: Estimate | null;
  p: number | null;
  /** By Holm over the steps of the audience. */
  pAdjusted: number | null;
  /** Null where nothing asked tells it. */
  toldApart: {
    /** Right answers, answers of two kinds, or how much oftener a preference was given than between two of the same. */
    by: 'right-answers' | 'yes-no' | 'identical-pairs';
    estimate: Estimate;
    p: number | null;
    pAdjusted: number | null;
  } | null;
}

/** The classes of the compared prototypes from the lowest up; empty with fewer than two. */
export function priceClasses(plan: Plan): PriceClass[] {
  const classes = new Map<number, PriceClass>();
  for (const { id, priceClass, anchor } of comparedIn(plan)) {
    if (anchor || !priceClass) continue;
    const { rank, words } = priceClass;
    const own = classes.get(rank) ?? { rank, words, prototypes: [] };
    own.prototypes.push(id as PrototypeId);
    classes.set(rank, own);
  }
  return classes.size < 2 ? [] : [...classes.values()].sort((a, b) => a.rank - b.rank);
}

/**
 * What each step from one price class to the next buys, in one audience. It explores, and no verdict hangs on it.
 *
 * A step is made of all pairs of a prototype of the one class and one of the next, by `gainOver`: if the dearer were
 * worth no more to anybody, each listener's figure could as well be its opposite. p is corrected by Holm over the steps.
 *
 * Whether the two are told apart at all stands beside, where something asked tells it: of methods with right answers, or
 * answers of two kinds, what the method says of its pair; of preferences with "no preference" and identical pairs, how
 * much oftener a listener preferred one at all than between two of the same, with the limits and the test of ticks.
 * @param outcomes answers of that audience that the verdict counts, without controls
 * @param identical its answers to identical pairs
 * @param result what the method says of that audience
 * @returns from the lowest step up; empty where fewer than two classes are compared
 */
export function priceSteps(
  outcomes: readonly Outcome[],
  identical: readonly Outcome[],
  result: Pick<AudienceResult, 'difference' | 'yesNo' | 'n'>,
  plan: Plan,
): PriceStep[] {
  const classes = priceClasses(plan);
  const asked = comparedPlan(plan);
  const level = 1 - plan.risks.alpha;
  const measure = gainMeasure(plan);
  const steps = classes.slice(1).map((to, i): PriceStep => {
    const from = classes[i] as PriceClass;
    const pairs = to.prototypes.flatMap((dearer) => from.prototypes.map((cheaper): GainPair => [dearer, cheaper]));
    const { estimate, p, listeners } = gainOver(outcomes, pairs, asked, level);
    return {
      ...{ from, to, pairs, p, gain: estimate, pAdjusted: null },
      primary:
        pairs.length === 1 &&
        [plan.primary.first, plan.primary.second].every((id) => pairs[0]?.includes(id as PrototypeId)),
      listeners: measure === 'none' ? result.n.listeners : listeners,
      toldApart:
        measure === 'none'
          ? byMethod(result)
          : measure === 'share'
            ? byPreferring(outcomes, identical, pairs, level)
            : null,
    };
  });
  const gains = holm(steps.map(({ p }) => p));
  const told = holm(steps.map(({ toldApart }) => toldApart?.p ?? null));
  return steps.map((step, i) => ({
    ...step,
    pAdjusted: gains[i] ?? null,
    toldApart: step.toldApart && { ...step.toldApart, pAdjusted: told[i] ?? null },
  }));
}

function byMethod({ difference, yesNo }: Pick<AudienceResult, 'difference' | 'yesNo'>): PriceStep['toldApart'] {
  // Its p is the verdict's, and stands there.
  const none = { p: null, pAdjusted: null };
  if (difference?.heard) return { by: 'right-answers', estimate: difference.heard, ...none };
  return yesNo?.apart ? { by: 'yes-no', estimate: yesNo.apart, ...none } : null;
}

/** How much oftener a listener preferred one of the two at all than between two of the same. */
function byPreferring(
  outcomes: readonly Outcome[],
  identical: readonly Outcome[],
  pairs: readonly GainPair[],
  level: number,
): PriceStep['toldApart'] {
  const preferred = (own: readonly Outcome[]) => meanOf(own.map(({ value }) => (value === 0 ? 0 : 1)));
  const alike = byPerson(identical);
  const about = outcomes.filter(({ prototypes }) => pairs.some((pair) => pair.every((id) => prototypes.includes(id))));
  const apart = [...byPerson(about)].flatMap(([listener, own]): OwnApart[] => {
    const twins = alike.get(listener);
    return twins ? [{ listener, value: preferred(own) - preferred(twins), times: own.length }] : [];
  });
  const { difference: estimate, p } = tickedApart(apart, level);
  // Where "no preference" isn't offered everybody always has one.
  if (estimate === null || ![...about, ...identical].some(({ value }) => value === 0)) return null;
  return { by: 'identical-pairs', estimate: { ...estimate, name: 'apart' }, p, pAdjusted: null };
}
