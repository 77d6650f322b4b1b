import type { Ratings, ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import { linesChart } from '../lines-chart';
import { markedIn } from '../marked';
import { placeIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { section } from './section';

/** All attributes at once, a line each: where on it every prototype lies. Null with one scale. */
export function profileSection({ scales }: Ratings, plan: Plan): RatedSection | null {
  const shown = scales.filter(({ means }) => means.length > 0);
  if (shown.length < 2) return null;
  // As the plan has them, so that a profile is read alike in every study.
  const inOrder = plan.prototypes.map(({ id }) => id);
  const level = shown[0]?.means[0]?.level ?? 0.95;
  return section({
    id: 'profile',
    heading: 'The profile',
    key: inOrder
      .filter((id) => shown.some(({ means }) => means.some(({ prototype }) => prototype === id)))
      .map(markedIn(plan)),
    charts: [
      {
        svg: linesChart(
          shown.map((one) => lineOf(one, plan)),
          'Mean ratings, a line for each scale',
        ),
        caption: `A line for each scale, from its low to its high end, with the mean of every prototype. Marks that would cover each other stand above one another. Intervals (${chosenPercent(level)}) are in the table of means.`,
      },
    ],
  });
}

function lineOf({ scale, means, primary }: ScaleFindings, plan: Plan) {
  const { name, low, high, from, to } = scaleIn(plan, scale);
  return {
    name: primary ? `${name} (the verdict’s)` : name,
    low,
    high,
    marks: means.map(({ prototype, value }) => ({
      at: (value - from) / (to - from),
      place: placeIn(plan)(prototype),
    })),
  };
}
