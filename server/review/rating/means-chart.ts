import type { ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { type Scale, scaleValues } from '../../../shared/scales';
import { chosenPercent } from '../../number-words';
import type { Chart } from '../chart';
import { intervalChart } from '../interval-chart';
import { nameIn, placeIn } from '../plan-names';

/** Mean of each prototype on one scale, over the whole of the scale, between its end words. Null without ratings. */
export function meansChart({ means, primary }: ScaleFindings, scale: Scale, plan: Plan): Chart | null {
  const [first] = means;
  if (!first) return null;
  const [name, place] = [nameIn(plan), placeIn(plan)];
  const values = scaleValues(scale);
  const rows = means.map(({ prototype, value, lower, upper }) => ({
    name: name(prototype),
    value,
    // A mean lies on its scale; of an interval only what does is drawn.
    lower: Math.max(lower, values[0] ?? lower),
    upper: Math.min(upper, values.at(-1) ?? upper),
    place: place(prototype),
  }));
  return {
    svg: intervalChart(rows, {
      label: `Mean rating, ${scale.name}`,
      mark: scale.polarity === 'bipolar' ? { at: 0, words: 'middle' } : null,
      domain: [values[0] ?? 0, values.at(-1) ?? 1],
      ticks: values,
      ends: [scale.low, scale.high],
    }),
    caption: primary
      ? `Means over listeners with their ${chosenPercent(first.level)} intervals. How sure a difference is stands in the table of pairs: intervals may overlap where it is.`
      : null,
  };
}
