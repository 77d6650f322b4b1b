import type { ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import type { Chart } from '../chart';
import { intervalChart } from '../interval-chart';
import { nameIn, placeIn } from '../plan-names';
import type { ShownScale } from '../shown-scale';
import { groupsCaption, inseparable, placesOf } from '../told-apart';
import { referenceOf } from './measure';

/** Mean of each prototype on one scale, over the whole of the scale, between its end words. Null without ratings. */
export function meansChart({ means, primary, pairs }: ScaleFindings, scale: ShownScale, plan: Plan): Chart | null {
  const [first] = means;
  if (!first) return null;
  const [name, place] = [nameIn(plan), placeIn(plan)];
  const [from, to] = reach(means, scale);
  const rows = means.map(({ prototype, value, lower, upper }) => ({
    name: name(prototype),
    value,
    // A mean lies on its scale; of an interval only what does is drawn.
    lower: Math.max(lower, from),
    upper: Math.min(upper, to),
    place: place(prototype),
  }));
  const byMean = means.toSorted((a, b) => b.value - a.value).map(({ prototype }) => prototype);
  const groups = inseparable(byMean, pairs, plan.risks.alpha);
  const reference = means.find(({ prototype }) => prototype === referenceOf(plan))?.prototype;
  const hidden = reference === undefined ? '' : ` ${name(reference)} is the hidden reference.`;
  const cut = means.some(({ lower, upper }) => lower < from || upper > to);
  return {
    svg: intervalChart(rows, {
      label: scale.shape === 'derived' ? scale.name : `Mean rating, ${scale.name}`,
      mark: scale.middle,
      domain: [from, to],
      ticks: scale.ticks.filter((tick) => tick >= from && tick <= to),
      ...(scale.shape === 'derived' ? {} : { ends: [scale.low, scale.high] }),
      groups: placesOf(
        groups,
        means.map(({ prototype }) => prototype),
      ),
    }),
    caption: primary
      ? `Means over listeners with their ${chosenPercent(first.level)} intervals. They may overlap where a difference is sure: the table of pairs says how sure.${cut ? ' Lines stop at the ends of the scale; the table has the whole intervals.' : ''}${hidden}${groupsCaption(groups, plan)}`
      : groupsCaption(groups, plan).trim() || null,
  };
}

/** The whole of a scale; of what follows from answers as much as there is, and the middle. */
function reach(means: ScaleFindings['means'], { from, to, shape }: ShownScale): [number, number] {
  if (shape !== 'derived') return [from, to];
  const values = means.flatMap(({ lower, upper }) => [lower, upper]);
  return [Math.min(0, Math.floor(Math.min(...values))), Math.max(to === 0 ? 0.2 : 1, Math.ceil(Math.max(...values)))];
}
