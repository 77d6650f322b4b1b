import type { ListenerId, PrototypeId } from '../shared/brands';
import type { HiddenReference } from '../shared/findings-result';
import type { Plan } from '../shared/plan';
import { pairedT } from '../stats/paired-t';
import { listenersResult, meansOverListeners, type OwnFigure, pairOverListeners } from './listeners-result';
import { wherePossible } from './over-listeners';
import { ownMean, ownRatings, varianceLeft } from './own-ratings';
import type { Outcome } from './protocol';
import { type ComparedPair, pairsOf } from './rating-results';
import type { Screened } from './ratings-analysis';
import type { ScaleResult } from './results';

/**
 * Difference grades (ITU-R BS.1116-3, from memory): the grade of the other sample less that of the hidden reference of
 * the same trial; one outcome a trial, about the other sample. A trial with one of the two grades alone has none.
 */
export function differenceGrades(outcomes: readonly Outcome[], reference: string): Outcome[] {
  const hidden = new Map<string, Outcome>();
  for (const outcome of outcomes) if (about(outcome) === reference) hidden.set(outcome.trial, outcome);
  return outcomes.flatMap((outcome) => {
    const own = hidden.get(outcome.trial);
    if (!own || about(outcome) === reference) return [];
    // Grades have one decimal: what subtraction adds beyond it is rounded off. Plus nothing: alike is no −0.
    return [{ ...outcome, value: Math.round((outcome.value - own.value) * 10) / 10 + 0 }];
  });
}

const about = ({ prototypes, place = 0 }: Outcome): string => prototypes[place] as string;

/**
 * What one audience's difference grades come to. The listener is the unit: a sample is held against the reference by the
 * mean of each listener's difference grades, against 0; two samples by the difference of those means; each by a t test.
 *
 * There is no model of single grades here. The reference is graded once beside every other sample and by every listener
 * who is sure of it with the same 5.0, so that it varies less than the others; one residual variance for all would make
 * the test too sure of two samples and too careful of one against the reference. Listeners' own means need none.
 * @param grades difference grades of one audience
 * @param reference has no mean of its own: it is what others are held against
 */
export function differenceResult(
  grades: readonly Outcome[],
  scale: string,
  plan: Plan,
  reference: string,
): { result: ScaleResult; compared: ComparedPair[] } {
  const level = 1 - plan.risks.alpha;
  const rows = ownRatings(grades, scale);
  const others = plan.prototypes.map(({ id }) => id as PrototypeId).filter((id) => id !== reference);
  const figures = ([first, second]: readonly [PrototypeId, PrototypeId]): OwnFigure[] =>
    rows.flatMap(({ listener, prototypes }): OwnFigure[] => {
      const sides = [first, second].map((id) => (id === reference ? 'reference' : prototypes.get(id)));
      const [one, other] = sides;
      if (!one || !other) return [];
      const left = sides.flatMap((side) => (typeof side === 'object' ? [varianceLeft(side)] : []));
      const mean = (side: typeof one) => (side === 'reference' ? 0 : ownMean(side));
      // A difference grade has the variance of two grades, as the difference of two ratings has.
      const sum = left.reduce((total, value) => total + value, 0);
      return [{ listener, value: mean(one) - mean(other) + 0, varianceLeft: sum }];
    });
  const compared = pairsOf(plan).map((pair) => pairOverListeners(pair, figures(pair), level));
  const complete = rows.filter(({ prototypes }) => others.every((id) => prototypes.has(id)));
  const means = complete.map(
    ({ prototypes }) => new Map(others.map((id) => [id, ownMean(prototypes.get(id) ?? new Map())])),
  );
  return listenersResult(scale, plan, compared, {
    means: meansOverListeners(means, others, level),
    listeners: complete.length,
    ratings: grades.length,
    late: 0,
  });
}

/** At that level a listener's grades must tell the hidden reference (BS.1116-3: 95 %, from memory). */
const level = 0.95;
/** Fewer difference grades than these say too little of a listener. */
export const fewestGrades = 3;

/**
 * Post-screening of BS.1116-3 (from memory): a listener is left out unless a one-sided t test over all own difference
 * grades, of all samples together, shows at 95 % that the others are graded below the hidden reference. Whose difference
 * grades are all alike tells it if they are below 0. Who gave too few to be tested is left out.
 *
 * All samples count alike, whatever they are called. But what decides is who found a loss: between a sample and the
 * reference that is the very difference that is asked for, and of two samples whom the rule keeps may favour the one
 * about which listeners agree; see `heldByEverybody`.
 * @param grades difference grades of one audience
 * @returns by listener; misses: trials in which the other was graded above the hidden reference
 */
export function screenedByReference(grades: readonly Outcome[]): Screened {
  const listeners = new Map<ListenerId, number[]>();
  for (const { listener, value } of grades) listeners.set(listener, [...(listeners.get(listener) ?? []), value]);
  const dropped = [...listeners].flatMap(([listener, values]) => {
    // In an order that names and arrival don't move.
    const own = values.sort((a, b) => a - b);
    const p = pOfTelling(own);
    const told = p === null ? own.length >= fewestGrades && own.every((value) => value < 0) : p <= 1 - level;
    return told ? [] : [{ listener, misses: own.filter((value) => value > 0).length, of: own.length, p }];
  });
  return { rule: 'reference-told', dropped };
}

function pOfTelling(values: readonly number[]): number | null {
  if (values.length < fewestGrades) return null;
  const second = values.map(() => 0);
  return wherePossible(() => pairedT({ first: values, second, alternative: 'less' }))?.p ?? null;
}

/** How often the hidden reference was graded above, like and below the other of its trial. */
export const hiddenReferenceIn = (grades: readonly Outcome[]): HiddenReference => ({
  trials: grades.length,
  told: grades.filter(({ value }) => value < 0).length,
  same: grades.filter(({ value }) => value === 0).length,
  misjudged: grades.filter(({ value }) => value > 0).length,
});
