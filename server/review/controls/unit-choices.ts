import { holm } from '../../../protocols/holm';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { count } from './by-listener';
import { leaning } from './choices';

/** Choices between two units of one prototype: units that are alike are chosen alike, whatever listeners like. */
export function unitChoices(outcomes: readonly Outcome[], plan: Plan): ControlOf<'unit'> {
  const pairs = plan.prototypes.flatMap(({ id: prototype, units }) =>
    units.flatMap(({ id: first }, i) =>
      units.slice(i + 1).flatMap(({ id: second }) => {
        const own = outcomes.filter(
          ({ units: heard }) => (heard as string[]).includes(first) && (heard as string[]).includes(second),
        );
        if (own.length === 0) return [];
        const forFirst = ({ units: [one], value }: Outcome) => ((one as string) === first ? value : -value);
        return [
          {
            prototype,
            first,
            second,
            forFirst: count(own, (one) => forFirst(one) > 0),
            forSecond: count(own, (one) => forFirst(one) < 0),
            none: count(own, ({ value }) => value === 0),
            p: leaning(netsOf(own, forFirst), `units ${first} ${second}`),
          },
        ];
      }),
    ),
  );
  const adjusted = holm(pairs.map(({ p }) => p));
  return {
    kind: 'units',
    measure: 'unit',
    trials: outcomes.length,
    none: count(outcomes, ({ value }) => value === 0),
    pairs: pairs.map((pair, i) => ({ ...pair, pAdjusted: adjusted[i] ?? null })),
  };
}

/** Each listener's lean, in the order of their names, so that a drawn p hangs on nothing else. */
function netsOf(outcomes: readonly Outcome[], side: (outcome: Outcome) => number): number[] {
  const nets = new Map<string, number>();
  for (const one of outcomes) nets.set(one.listener, (nets.get(one.listener) ?? 0) + side(one));
  return [...nets].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, net]) => net);
}
