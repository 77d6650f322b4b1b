import type { Plan } from '../shared/plan';
import { comparedIn } from './controls';
import type { Outcome } from './protocol';

/** One value of one listener about one unit; units and prototypes by their place in the plan, so that ids move no digit. */
export interface UnitAnswer {
  listener: string;
  /** Of the listener, from 1. */
  sitting: number;
  prototype: number;
  /** Among the units of the prototype. */
  unit: number;
  value: number;
}

/** A value about the sample at that place of the trial; null where the answer says nothing of it. */
export type ValueAt = (outcome: Outcome, place: number) => number | null;

/**
 * Answers as they are about units: one value for each unit that was heard in a trial, or for the one that was rated. A unit
 * that stands in a trial twice counts once. What is there as a known difference is passed over.
 * @param outcomes scored answers of one audience, without controls
 */
export function unitAnswers(outcomes: readonly Outcome[], plan: Plan, valueAt: ValueAt): UnitAnswer[] {
  const places = new Map(
    plan.prototypes.flatMap(({ units }, prototype) =>
      units.map(({ id }, unit) => [id as string, { prototype, unit }] as const),
    ),
  );
  const compared = new Set(comparedIn(plan).map(({ id }) => id));
  return outcomes.flatMap((outcome) => {
    const { units, place, listener, sittingNumber: sitting } = outcome;
    const asked = place === undefined ? units.map((_, at) => at) : [place];
    const first = asked.filter((at) => asked.every((other) => other >= at || units[other] !== units[at]));
    return first.flatMap((at) => {
      const known = places.get(units[at] as string);
      const value = valueAt(outcome, at);
      const counts = known && value !== null && compared.has(plan.prototypes[known.prototype]?.id ?? '');
      return counts ? [{ listener, sitting, ...known, value }] : [];
    });
  });
}
