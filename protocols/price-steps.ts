import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { comparedIn, comparedPlan } from './controls';
import { holm } from './holm';
import { overListeners } from './over-listeners';
import { ownRankings } from './own-rankings';
import { meanOf } from './own-ratings';
import { countedBy, talliesOf, testOf } from './pair-results';
import type { Outcome } from './protocol';
import { sharesBefore } from './ranking-pairs';
import type { AudienceResult, Estimate } from './results';
import { figureMeasure, sittingFigures } from './sitting-figures';
import { type OwnApart, tickedApart } from './ticked-apart';

export interface PriceClass {
  rank: number;
  words: string;
  prototypes: PrototypeId[];
}

/** Of each pair of a step: the dearer, and the cheaper. */
export type PricePair = readonly [dearer: PrototypeId, cheaper: PrototypeId];

/** What one step up is measured by. `none`: the method asks whether something is heard, and not what it is worth. */
export type PriceMeasure = 'share' | 'ranked' | 'points' | 'ticked' | 'none';

export interface PriceStep {
  from: PriceClass;
  to: PriceClass;
  pairs: PricePair[];
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

export function priceMeasure(plan: Plan): PriceMeasure {
  const { of } = figureMeasure(plan);
  if (of === 'correct' || of === 'apart') return 'none';
  return of === 'share' && plan.method.id === 'ranking' ? 'ranked' : of;
}

/**
 * What each step from one price class to the next buys, in one audience. It explores, and no verdict hangs on it.
 *
 * A step is made of all pairs of a prototype of the one class and one of the next. The listener is the unit: of each
 * listener the mean over the pairs of the step that they met, every pair weighing the same. A share has the limits of
 * `clusteredShareInterval` and a sign-flip p, points a t interval and its p, ticks those of `tickedApart`; if the dearer
 * were worth no more to anybody, each listener's figure could as well be its opposite. p is corrected by Holm over the
 * steps.
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
  const measure = priceMeasure(plan);
  const steps = classes.slice(1).map((to, i): PriceStep => {
    const from = classes[i] as PriceClass;
    const pairs = to.prototypes.flatMap((dearer) => from.prototypes.map((cheaper): PricePair => [dearer, cheaper]));
    const own = measure === 'none' ? [] : ownGains(outcomes, pairs, asked, measure);
    const { estimate, p } = gainOf(own, measure, level);
    return {
      ...{ from, to, pairs, p, gain: estimate, pAdjusted: null },
      primary:
        pairs.length === 1 &&
        [plan.primary.first, plan.primary.second].every((id) => pairs[0]?.includes(id as PrototypeId)),
      listeners: measure === 'none' ? result.n.listeners : own.length,
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

interface OwnGain {
  value: number;
  trials: number;
}

/** One figure a listener, over the pairs of a step. Sorted, so that names and order of arrival move no digit. */
function ownGains(
  outcomes: readonly Outcome[],
  pairs: readonly PricePair[],
  plan: Plan,
  measure: PriceMeasure,
): OwnGain[] {
  const byListener = new Map<ListenerId, OwnGain[]>();
  for (const pair of pairs) {
    for (const { listener, ...own } of ofPair(outcomes, pair, plan, measure)) {
      byListener.set(listener, [...(byListener.get(listener) ?? []), own]);
    }
  }
  return [...byListener.values()]
    .map((own) => ({
      value: meanOf(own.map(({ value }) => value)),
      trials: own.reduce((sum, { trials }) => sum + trials, 0),
    }))
    .sort((a, b) => a.value - b.value || a.trials - b.trials);
}

function ofPair(
  outcomes: readonly Outcome[],
  [dearer, cheaper]: PricePair,
  plan: Plan,
  measure: PriceMeasure,
): (OwnGain & { listener: ListenerId })[] {
  if (measure === 'ranked') {
    return sharesBefore(ownRankings(outcomes, plan), dearer, cheaper, plan).map(({ row, share, trials }) => ({
      listener: row.listener,
      value: share,
      trials,
    }));
  }
  if (measure === 'share') {
    return [...byPerson(outcomes)].flatMap(([listener, own]) =>
      countedBy(plan.noPreference.rule, talliesOf(own, dearer, cheaper)).map(({ share, trials }) => ({
        listener,
        value: share,
        trials,
      })),
    );
  }
  const primary = { ...plan.primary, first: dearer, second: cheaper };
  const figures = sittingFigures(outcomes, { ...plan, primary });
  const listeners = new Map<ListenerId, number[]>();
  for (const { listener, value } of figures) listeners.set(listener, [...(listeners.get(listener) ?? []), value]);
  return [...listeners].map(([listener, values]) => ({ listener, value: meanOf(values), trials: values.length }));
}

function gainOf(
  own: readonly OwnGain[],
  measure: PriceMeasure,
  level: number,
): { estimate: Estimate | null; p: number | null } {
  if (measure === 'share' || measure === 'ranked') {
    const shares = own.map(({ value, trials }) => ({ share: value, trials }));
    if (shares.length < 2) return { estimate: null, p: testOf(shares, false) };
    const { share, lower, upper } = clusteredShareInterval({ listeners: shares, level });
    return { estimate: { name: 'share', value: share, lower, upper, level }, p: testOf(shares, false) };
  }
  if (measure === 'ticked') {
    const { difference, p } = tickedApart(own.map(asOwn), level);
    return { estimate: difference, p };
  }
  return overListeners(
    'points',
    own.map(({ value }) => value),
    level,
  );
}

/** Whose it is plays no part in limits and test. */
const asOwn = ({ value, trials }: OwnGain): OwnApart => ({ listener: '' as ListenerId, value, times: trials });

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
  pairs: readonly PricePair[],
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

const byPerson = (outcomes: readonly Outcome[]): Map<ListenerId, Outcome[]> => {
  const people = new Map<ListenerId, Outcome[]>();
  for (const outcome of outcomes) {
    const own = people.get(outcome.listener);
    if (own) own.push(outcome);
    else people.set(outcome.listener, [outcome]);
  }
  return people;
};
