import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { ratedPrototype } from './own-ratings';
import type { Outcome } from './protocol';
import type { Screened } from './ratings-analysis';

/**
 * Post-screening of ITU-R BS.1534-3 (from memory): a listener is left out who grades the hidden reference below 90, or the
 * mid anchor (7 kHz) above 90, in more than 15 % of the items. An item is a trial. The rule looks at the grades of these
 * two and at no other.
 */
const least = 90;
const midAnchor = 7000;
/** In hundredths, so that 3 of 20 are 15 % and no rounding makes them more. */
const most = 15;

/**
 * @param outcomes of one audience
 * @returns misses and items are those of the reference, or of the anchor where only that is broken, or oftener
 */
export function screenedByAnchor(
  outcomes: readonly Outcome[],
  { prototypes }: Pick<Plan, 'prototypes'>,
  reference: string,
): Screened {
  const anchor = prototypes.find((one) => one.anchor?.lowPassHz === midAnchor)?.id;
  const listeners = new Map<ListenerId, Outcome[]>();
  for (const outcome of outcomes) {
    listeners.set(outcome.listener, [...(listeners.get(outcome.listener) ?? []), outcome]);
  }
  const dropped = [...listeners].flatMap(([listener, own]) => {
    const gradesOf = (id: string) => own.filter((one) => ratedPrototype(one) === (id as PrototypeId));
    const counted = [
      { of: gradesOf(reference), missed: (value: number) => value < least },
      { of: anchor === undefined ? [] : gradesOf(anchor), missed: (value: number) => value > least },
    ].map(({ of, missed }) => ({ misses: of.filter(({ value }) => missed(value)).length, of: of.length }));
    const broken = counted
      .filter(({ misses, of }) => 100 * misses > most * of)
      .sort((a, b) => b.misses / b.of - a.misses / a.of)[0];
    return broken ? [{ listener, ...broken, p: null }] : [];
  });
  return { rule: 'reference-and-anchor', dropped };
}
