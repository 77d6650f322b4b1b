import type { PrototypeId } from '../shared/brands';
import type { Spread } from '../shared/findings-result';
import type { Plan } from '../shared/plan';
import { summary } from '../stats/summary';
import { wherePossible } from './over-listeners';
import { ownMean, ownRatings } from './own-ratings';
import type { Outcome } from './protocol';
import { type RatedScale, stepOf } from './rated-scale';
import { twoPeaks } from './two-peaks';

/**
 * How ratings of each prototype lie on one scale, each listener's own mean one of them: median and quartiles (type 7, as
 * `summary` has it), and whether they gather in two places, so that the mean is where nobody is. Describes and decides
 * nothing.
 * @param outcomes scored answers of one audience; those on other scales are passed over
 * @returns in the order of the plan; nothing for a prototype that fewer than two listeners rated
 */
export function spreadsOf(outcomes: readonly Outcome[], scale: RatedScale, plan: Plan): Spread[] {
  const rows = ownRatings(outcomes, scale.id);
  return plan.prototypes.flatMap(({ id }) => {
    const values = rows.flatMap(({ prototypes }) => {
      const own = prototypes.get(id as PrototypeId);
      return own ? [ownMean(own)] : [];
    });
    const found = wherePossible(() => summary({ values }));
    if (found === null) return [];
    const [lower, upper] = found.quartiles;
    return [
      {
        prototype: id,
        listeners: values.length,
        median: found.median,
        lower,
        upper,
        twoPeaks: twoPeaks(values, stepOf(scale)),
      },
    ];
  });
}
