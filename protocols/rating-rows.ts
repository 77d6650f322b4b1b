import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { ratedPrototype } from './own-ratings';
import type { Outcome } from './protocol';

/** One rating as a model reads it. Names are numbers, so that ids move no digit. */
export interface Row {
  listener: number;
  prototype: number;
  unit: number;
  session: number;
  excerpt: string;
  /** Trials put again and hidden repeats, after the last planned sample, share one place. */
  position: number;
  /** Log of how often the listener had heard the sample by then. */
  exposure: number;
  rating: number;
  /** Where several samples are rated together: the trial, within the sitting. */
  trial?: number;
  /** Where the sample stood in its trial twice, openly too: it is heard twice as often as the others. */
  openly?: 1;
}

/** All ratings on that scale, in an order that depends on what was heard and rated and on nothing else. */
export const rowsOf = (outcomes: readonly Outcome[], scale: string, plan: Plan): Row[] =>
  sorted(
    outcomes.filter((outcome) => outcome.scale === scale),
    plan,
    (outcome) =>
      // Beside others in a trial it is their order that counts, else that of the sitting.
      sideBySide(outcome) ? (outcome.place ?? 0) + 1 : Math.min(outcome.position, plan.prototypes.length + 1),
  );

/**
 * The ratings of two prototypes alone. Their place is which of the two came first: in its trial, or in its round where
 * samples are rated one by one. Where one of them never stands in a trial without the other (an object and the hidden
 * reference), trials with the other alone compare nothing, and are passed over.
 */
export function rowsOfPair(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
  pair: readonly [PrototypeId, PrototypeId],
): Row[] {
  const both = comparable(
    outcomes.filter((outcome) => outcome.scale === scale && pair.includes(ratedPrototype(outcome))),
    pair,
  );
  const places = new Map<Outcome, number>();
  const met = new Map<string, number>();
  for (const outcome of [...both].sort((a, b) => a.position - b.position || (a.place ?? 0) - (b.place ?? 0))) {
    const where = sideBySide(outcome) ? outcome.trial : `${outcome.listener} ${outcome.sittingNumber}`;
    const before = met.get(where) ?? 0;
    // Where nobody knows which came first, none did.
    places.set(outcome, outcome.position === 0 ? 1 : (before % 2) + 1);
    met.set(where, before + 1);
  }
  return sorted(both, plan, (outcome) => places.get(outcome) ?? 1);
}

function comparable(outcomes: readonly Outcome[], pair: readonly [PrototypeId, PrototypeId]): readonly Outcome[] {
  const trialsWith = (id: PrototypeId) =>
    new Set(outcomes.filter((outcome) => ratedPrototype(outcome) === id).map(({ trial }) => trial));
  const [withFirst, withSecond] = [trialsWith(pair[0]), trialsWith(pair[1])];
  const together = new Set([...withFirst].filter((trial) => withSecond.has(trial)));
  const alone = [withFirst, withSecond].filter(({ size }) => size > together.size).length;
  return together.size > 0 && alone === 1 ? outcomes.filter(({ trial }) => together.has(trial)) : outcomes;
}

const sideBySide = ({ place, prototypes }: Outcome): boolean => place !== undefined && prototypes.length > 1;

const openly = (outcome: Outcome): boolean =>
  sideBySide(outcome) && outcome.prototypes.filter((id) => id === ratedPrototype(outcome)).length > 1;

function sorted(outcomes: readonly Outcome[], plan: Plan, placeOf: (outcome: Outcome) => number): Row[] {
  const prototypeAt = new Map(plan.prototypes.map(({ id }, place) => [id as string, place]));
  const unitAt = new Map(plan.prototypes.flatMap(({ units }) => units).map(({ id }, place) => [id as string, place]));
  const byListener = new Map<string, Row[]>();
  for (const outcome of outcomes) {
    const row = {
      listener: 0,
      prototype: prototypeAt.get(ratedPrototype(outcome)) ?? -1,
      unit: unitAt.get(outcome.units[outcome.place ?? 0] ?? '') ?? -1,
      session: outcome.sittingNumber,
      excerpt: outcome.excerpt ?? 'none',
      position: placeOf(outcome),
      exposure: Math.log(Math.max(1, outcome.exposure)),
      rating: outcome.value,
      ...(sideBySide(outcome) && { trial: outcome.position }),
      ...(openly(outcome) && { openly: 1 as const }),
    };
    byListener.set(outcome.listener, [...(byListener.get(outcome.listener) ?? []), row]);
  }
  const rows = [...byListener.values()].map((own): [string, Row][] =>
    own.map((row): [string, Row] => [JSON.stringify(row), row]).sort(([a], [b]) => (a < b ? -1 : 1)),
  );
  const keyOf = (own: readonly [string, Row][]) => own.map(([key]) => key).join();
  return rows
    .map((own) => ({ key: keyOf(own), own }))
    .sort((a, b) => (a.key < b.key ? -1 : 1))
    .flatMap(({ own }, listener) => own.map(([, row]) => ({ ...row, listener })));
}
