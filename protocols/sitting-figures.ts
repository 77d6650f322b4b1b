import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { comparedPlan } from './controls';
import { methodOf } from './index';
import { ownRankings } from './own-rankings';
import { meanOf, ownRatings, ratedPrototype } from './own-ratings';
import { countedBy, talliesOf } from './pair-results';
import type { Outcome } from './protocol';
import { sharesBefore } from './ranking-pairs';
import type { Interaction } from './results';
import { ownApart } from './ticked-apart';
import { isSignal, type YesNoMethod, yesOfListeners } from './yes-no-counts';
import { ratesAt } from './yes-no-distance';

/** What one listener said in one of his or her sittings, as one figure in the measure of the verdict. */
export interface SittingFigure {
  listener: ListenerId;
  /** Of the listener, from 1. */
  sitting: number;
  value: number;
  /** How often the listener had heard each of the samples by the end of that sitting, on average over them. */
  heard: number;
  /** Marks that any answer of that sitting bears. */
  flags: string[];
}

/** What such a figure is of, where it is of neither side, and how far from there the smallest effect worth finding is. */
export interface FigureMeasure {
  of: Interaction['of'];
  neutral: number;
  margin: number;
}

/**
 * The measure of a plan's verdict, as one listener has it in one sitting.
 *
 * The margin is the smallest effect worth finding: of a share of preferences or of rankings how far it is from one half;
 * of a share heard, what it adds to the share of right answers, pd·(1 − chance); of d′ the rate of hits less that of false
 * alarms of a listener without leaning (`ratesAt`); points and ticks as they are.
 */
export function figureMeasure(plan: Plan): FigureMeasure {
  const { protocol } = methodOf(plan);
  const { kind, value } = plan.risks.smallest;
  switch (kind) {
    case 'share':
      return { of: 'share', neutral: 0.5, margin: value - 0.5 };
    case 'heard': {
      const chance = protocol.chance ?? 0;
      return { of: 'correct', neutral: chance, margin: value * (1 - chance) };
    }
    case 'd-prime': {
      const { hit, falseAlarm } = ratesAt(plan.method.id as YesNoMethod, value);
      return { of: 'apart', neutral: 0, margin: hit - falseAlarm };
    }
    case 'points':
      return { of: 'points', neutral: 0, margin: value };
    case 'ticked':
      return { of: 'ticked', neutral: 0, margin: value };
  }
}

/**
 * One figure for each listener and sitting: the share of preferences, or of rankings, for the prototype that the plan
 * puts first; the share of right answers; hits less false alarms; the difference of the primary pair in points; or how
 * much oftener the primary word was ticked for the first. A sitting that says nothing of it has none (all answers lost,
 * trials of one kind only, one of the two not rated).
 * @param outcomes scored answers of one audience, without controls
 * @returns by listener in the order of their first answer, and by sitting
 */
export function sittingFigures(outcomes: readonly Outcome[], plan: Plan): SittingFigure[] {
  const asked = comparedPlan(plan);
  const { of } = figureMeasure(plan);
  const alone = gradedAlone(plan);
  const about = aboutPrimary(rated(outcomes, plan), asked, of);
  return bySitting(about).flatMap(({ listener, sitting, own }) => {
    const value = figureOf(own, sitting, asked, of);
    return value === null
      ? []
      : [
          {
            listener,
            sitting,
            value,
            heard: heardIn(own, alone),
            flags: [...new Set(own.flatMap(({ flags }) => flags))],
          },
        ];
  });
}

/** Outcomes as figures are made of: grades against a reference as differences, all else as it is. */
export const rated = (outcomes: readonly Outcome[], plan: Plan): readonly Outcome[] =>
  plan.method.id === 'small-impairments' ? (methodOf(plan).protocol.rated?.(outcomes, plan) ?? outcomes) : outcomes;

export function bySitting(
  outcomes: readonly Outcome[],
): { listener: ListenerId; sitting: number; own: readonly Outcome[] }[] {
  const listeners = new Map<ListenerId, Map<number, Outcome[]>>();
  for (const outcome of outcomes) {
    let sittings = listeners.get(outcome.listener);
    if (sittings === undefined) {
      sittings = new Map();
      listeners.set(outcome.listener, sittings);
    }
    const own = sittings.get(outcome.sittingNumber);
    if (own) own.push(outcome);
    else sittings.set(outcome.sittingNumber, [outcome]);
  }
  return [...listeners].flatMap(([listener, sittings]) =>
    [...sittings].sort(([a], [b]) => a - b).map(([sitting, own]) => ({ listener, sitting, own })),
  );
}

/** Without answers about other pairs and on other scales. */
function aboutPrimary(outcomes: readonly Outcome[], plan: Plan, of: Interaction['of']): readonly Outcome[] {
  const pair: readonly string[] = [plan.primary.first, plan.primary.second];
  if (of === 'points' || of === 'ticked') {
    const { id } = plan.method;
    return outcomes.filter(
      (outcome) =>
        outcome.scale === plan.primary.scale &&
        (id === 'comparison-rating' ? samePair(outcome, pair) : pair.includes(ratedPrototype(outcome))),
    );
  }
  if (of === 'share' && plan.method.id !== 'ranking') return outcomes.filter((outcome) => samePair(outcome, pair));
  return outcomes;
}

const samePair = ({ prototypes }: Outcome, pair: readonly string[]): boolean =>
  pair.every((id) => (prototypes as string[]).includes(id));

/** @param own what the listener answered in that sitting */
function figureOf(own: readonly Outcome[], sitting: number, plan: Plan, of: Interaction['of']): number | null {
  const [first, second] = [plan.primary.first as PrototypeId, plan.primary.second as PrototypeId];
  switch (of) {
    case 'correct':
      return meanOf(own.map(({ value }) => (value === 1 ? 1 : 0)));
    case 'share':
      return plan.method.id === 'ranking'
        ? (sharesBefore(ownRankings(own, plan), first, second, plan)[0]?.share ?? null)
        : (countedBy(plan.noPreference.rule, talliesOf(own, first, second))[0]?.share ?? null);
    case 'apart': {
      const [counts] = yesOfListeners(plan.method.id as YesNoMethod, own, plan);
      if (!counts || counts.signalTrials === 0 || counts.noiseTrials === 0) return null;
      return counts.hits / counts.signalTrials - counts.falseAlarms / counts.noiseTrials;
    }
    case 'ticked':
      return ownApart(ownRatings(own, plan.primary.scale ?? ''), first, second)[0]?.value ?? null;
    case 'points':
      return plan.method.id === 'comparison-rating'
        ? comparedTo(own, first, second)
        : differenceIn(own, sitting, plan, first, second);
  }
}

/** How much better the first is: each order its own mean where both were heard, since what order does falls out. */
function comparedTo(own: readonly Outcome[], first: PrototypeId, second: PrototypeId): number | null {
  const straight = own.filter(({ prototypes: [a, b] }) => a === first && b === second).map(({ value }) => -value);
  const turned = own.filter(({ prototypes: [a, b] }) => a === second && b === first).map(({ value }) => value);
  const means = [straight, turned].filter(({ length }) => length > 0).map(meanOf);
  return means.length === 0 ? null : meanOf(means) + 0;
}

function differenceIn(
  own: readonly Outcome[],
  sitting: number,
  plan: Plan,
  first: PrototypeId,
  second: PrototypeId,
): number | null {
  const [rows] = ownRatings(own, plan.primary.scale ?? '');
  const reference =
    plan.method.id === 'small-impairments' ? (plan.method.spec as { reference: string }).reference : null;
  const of = (id: PrototypeId): number | null => {
    // It is what the others are held against.
    if (id === reference) return 0;
    const values = rows?.prototypes.get(id)?.get(sitting);
    return values ? meanOf(values) : null;
  };
  const [one, other] = [of(first), of(second)];
  return one === null || other === null ? null : one - other + 0;
}

/** A grade has the hearings of its own sample; any other answer has those of all samples of its trial together. */
export const gradedAlone = (plan: Plan): boolean => methodOf(plan).form.kind === 'grades';

/**
 * How often each sample of these answers had been heard by the last of them, on average over the samples.
 * @param alone as `gradedAlone` has it
 */
export function heardIn(own: readonly Outcome[], alone: boolean): number {
  const most = new Map<string, number>();
  for (const outcome of own) {
    const single = alone && outcome.place !== undefined;
    const key = single ? ratedPrototype(outcome) : outcome.prototypes.length === 1 ? (outcome.prototypes[0] ?? '') : '';
    const heard = single ? outcome.exposure : outcome.exposure / Math.max(1, outcome.prototypes.length);
    most.set(key, Math.max(most.get(key) ?? 0, heard));
  }
  return meanOf([...most.values()].sort((a, b) => a - b));
}

/** One answer about one and the same thing, as often as it was asked. */
export interface Repeat {
  listener: ListenerId;
  sitting: number;
  /** What was asked: a sample, the pair, or the kind of a trial. */
  thing: string;
  value: number;
}

/**
 * Single answers about the same thing, in values whose mean is the measure of the verdict or a part of it: 1 or 0 for
 * right, for the first of the primary pair, or for ticked; grades and comparisons as they are.
 * @param outcomes scored answers of one audience, without controls
 */
export function repeatsOf(outcomes: readonly Outcome[], plan: Plan): Repeat[] {
  const asked = comparedPlan(plan);
  const { of } = figureMeasure(plan);
  const { first, second, scale } = plan.primary;
  const pair = [first, second];
  if (plan.method.id === 'ranking') return rankingRepeats(outcomes, asked);
  return rated(outcomes, plan).flatMap((outcome): Repeat[] => {
    const { listener, sittingNumber: sitting, value } = outcome;
    const at = (thing: string, said: number): Repeat[] => [{ listener, sitting, thing, value: said }];
    switch (of) {
      case 'correct':
        return at('', value === 1 ? 1 : 0);
      case 'apart': {
        const signal = isSignal(plan.method.id as YesNoMethod, outcome, plan);
        return at(signal ? 'signal' : 'noise', (value === 1) === signal ? 1 : 0);
      }
      case 'share':
        if (!samePair(outcome, pair) || (value === 0 && plan.noPreference.rule === 'drop')) return [];
        return at('', value === 0 ? 0.5 : value > 0 === (outcome.prototypes[0] === first) ? 1 : 0);
      default:
        if (outcome.scale !== scale) return [];
        return at(plan.method.id === 'comparison-rating' ? outcome.prototypes.join() : ratedPrototype(outcome), value);
    }
  });
}

function rankingRepeats(outcomes: readonly Outcome[], plan: Plan): Repeat[] {
  const [first, second] = [plan.primary.first as PrototypeId, plan.primary.second as PrototypeId];
  return bySitting(outcomes).flatMap(({ listener, sitting, own }) =>
    [...new Set(own.map(({ trial }) => trial))].flatMap((trial) => {
      const one = ownRankings(
        own.filter((outcome) => outcome.trial === trial),
        plan,
      );
      return sharesBefore(one, first, second, plan).map(({ share }) => ({
        listener,
        sitting,
        thing: '',
        value: share,
      }));
    }),
  );
}
