import type { Ratings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { decimals } from '../../number-words';
import { markedIn } from '../marked';
import { scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { row, section, table } from './section';

/** Means of units of one prototype beside each other; null where there are none. */
export function unitsSection({ units }: Ratings, plan: Plan): RatedSection | null {
  if (!units || units.length === 0) return null;
  const serial = new Map(plan.prototypes.flatMap((one) => one.units.map(({ id, serial }) => [id, serial] as const)));
  const { name } = scaleIn(plan, plan.primary.scale ?? '');
  return section({
    id: 'units',
    heading: 'Unit by unit',
    sentences: [
      'Units of one prototype should be rated alike. How far they vary is in the model, and makes the verdict more cautious; here are their means.',
    ],
    tables: [
      table(
        `Means on the scale “${name}”, each rating counting the same`,
        'Unit',
        ['Mean', 'Ratings'],
        units.map(({ unit, prototype, mean, ratings }) => {
          const mark = markedIn(plan)(prototype);
          return row(`${mark.prototype}, ${serial.get(unit) ?? unit}`, [decimals(mean), String(ratings)], { mark });
        }),
      ),
    ],
    folded: true,
  });
}
