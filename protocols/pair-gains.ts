import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { overListeners } from './over-listeners';
import { ownRankings } from './own-rankings';
import { meanOf } from './own-ratings';
import { countedBy, talliesOf, testOf } from './pair-results';
import type { Outcome } from './protocol';
import { sharesBefore } from './ranking-pairs';
import type { Estimate } from './results';
import { figureMeasure, sittingFigures } from './sitting-figures';
import { type OwnApart, tickedApart } from './ticked-apart';

/** What one prototype gains over another, over listeners, in the measure of the verdict; of any pair, or the mean of several. */

/** Of each pair: whose gain it is, and over which. */
export type GainPair = readonly [ahead: PrototypeId, behind: PrototypeId];

/** `none`: the method asks whether something is heard, and not which is more of it. */
export type GainMeasure = 'share' | 'ranked' | 'points' | 'ticked' | 'none';

export function gainMeasure(plan: Plan): GainMeasure {
  const { of } = figureMeasure(plan);
  if (of === 'correct' || of === 'apart') return 'none';
  return of === 'share' && plan.method.id === 'ranking' ? 'ranked' : of;
}

/** Of a share a half, else 0. */
export const noGain = (measure: GainMeasure): number => (measure === 'share' || measure === 'ranked' ? 0.5 : 0);

export interface Gain {
  /** Share of choices, or of rankings, for the first; or how much higher, or oftener ticked, it came out. */
  estimate: Estimate | null;
  /** That nobody leans to either, two-sided and uncorrected. */
  p: number | null;
  listeners: number;
}

/**
 * What the first of each pair gains over the second. The listener is the unit: of each the mean over the pairs that he or
 * she met, every pair weighing the same; of a pair in points or ticks the mean over sittings. A share has the limits of
 * `clusteredShareInterval` and a sign-flip p, points a t interval and its p, ticks those of `tickedApart`.
 * @param outcomes scored answers of one audience that count, without controls
 * @param plan with what is compared alone
 * @param level of the interval, two-sided
 * @returns no estimate with fewer than two listeners, or where points are all alike
 */
export function gainOver(outcomes: readonly Outcome[], pairs: readonly GainPair[], plan: Plan, level: number): Gain {
  const measure = gainMeasure(plan);
  const own = measure === 'none' ? [] : ownGains(outcomes, pairs, plan, measure);
  return { ...gainOf(own, measure, level), listeners: own.length };
}

interface OwnGain {
  value: number;
  trials: number;
}

/** One figure a listener. Sorted, so that names and order of arrival move no digit. */
function ownGains(
  outcomes: readonly Outcome[],
  pairs: readonly GainPair[],
  plan: Plan,
  measure: GainMeasure,
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
  [ahead, behind]: GainPair,
  plan: Plan,
  measure: GainMeasure,
): (OwnGain & { listener: ListenerId })[] {
  if (measure === 'ranked') {
    return sharesBefore(ownRankings(outcomes, plan), ahead, behind, plan).map(({ row, share, trials }) => ({
      listener: row.listener,
      value: share,
      trials,
    }));
  }
  if (measure === 'share') {
    return [...byPerson(outcomes)].flatMap(([listener, own]) =>
      countedBy(plan.noPreference.rule, talliesOf(own, ahead, behind)).map(({ share, trials }) => ({
        listener,
        value: share,
        trials,
      })),
    );
  }
  const primary = { ...plan.primary, first: ahead, second: behind };
  const figures = sittingFigures(outcomes, { ...plan, primary });
  const listeners = new Map<ListenerId, number[]>();
  for (const { listener, value } of figures) listeners.set(listener, [...(listeners.get(listener) ?? []), value]);
  return [...listeners].map(([listener, values]) => ({ listener, value: meanOf(values), trials: values.length }));
}

function gainOf(
  own: readonly OwnGain[],
  measure: GainMeasure,
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

export const byPerson = (outcomes: readonly Outcome[]): Map<ListenerId, Outcome[]> => {
  const people = new Map<ListenerId, Outcome[]>();
  for (const outcome of outcomes) {
    const own = people.get(outcome.listener);
    if (own) own.push(outcome);
    else people.set(outcome.listener, [outcome]);
  }
  return people;
};
