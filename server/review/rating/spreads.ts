import * as Plot from '@observablehq/plot';
import type { Ratings, ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { decimals, minus } from '../../number-words';
import { type Chart, markOptions, twice } from '../chart';
import { markedIn } from '../marked';
import { nameIn, placeIn } from '../plan-names';
import { type ShownScale, scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { row, section } from './section';

/** Where listeners' own means lie: medians, quartiles, and whether they gather in two places. Null where nothing says. */
export function spreadsSection(ratings: Ratings, plan: Plan): RatedSection | null {
  const scales = ratings.scales.filter(({ spreads }) => (spreads?.length ?? 0) > 0);
  if (scales.length === 0) return null;
  const split = scales.flatMap(({ scale, spreads = [] }) =>
    spreads.filter(({ twoPeaks }) => twoPeaks).map(({ prototype }) => ({ scale, prototype })),
  );
  return section({
    id: 'spreads',
    heading: 'How listeners are spread',
    sentences: ['Each listener counts once, by the mean of his or her ratings. A mean can lie where nobody is.'],
    cautions: split.map(
      ({ scale, prototype }) =>
        `On the scale “${scaleIn(plan, scale).name}” ratings of ${nameIn(plan)(prototype)} gather in two places rather than one: its mean stands for neither group. Look for who the two are before deciding by it.`,
    ),
    charts: scales.filter(({ primary }) => primary).map((one) => spreadsChart(one, scaleIn(plan, one.scale), plan)),
    tables: [
      {
        caption: 'Medians and quartiles over listeners',
        of: 'Prototype',
        columns: ['Median', 'Half of them between', 'Listeners', 'Gather in'],
        groups: scales.map(({ scale, spreads = [] }) => ({
          heading: scaleIn(plan, scale).name,
          rows: spreads.map(({ prototype, median, lower, upper, listeners, twoPeaks }) =>
            row(
              nameIn(plan)(prototype),
              [
                decimals(median),
                `${decimals(lower)} to ${decimals(upper)}`,
                String(listeners),
                twoPeaks ? 'two places' : 'one place',
              ],
              { mark: markedIn(plan)(prototype) },
            ),
          ),
        })),
      },
    ],
    folded: split.length === 0,
    note: 'That they gather in one place is only not shown to be otherwise. Quartiles: a quarter of the listeners lie below the lower, a quarter above the upper.',
  });
}

/** Half of the listeners as a bar, the median as the symbol of its prototype. */
function spreadsChart({ spreads = [] }: ScaleFindings, scale: ShownScale, plan: Plan): Chart {
  const rows = spreads.map((one) => ({
    ...one,
    name: nameIn(plan)(one.prototype),
    place: placeIn(plan)(one.prototype),
  }));
  const svg = twice(`Median rating and quartiles, ${scale.name}`, ({ narrow }) => {
    const top = 26 + (narrow ? 10 : 0);
    return {
      height: top + 64 + rows.length * (narrow ? 56 : 38),
      marginLeft: narrow ? 14 : 200,
      marginRight: narrow ? 14 : 30,
      marginTop: top,
      marginBottom: 46,
      x: {
        label: `Listeners’ own means, ${scale.name}`,
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [scale.from, scale.to],
        ticks: scale.ticks.filter((tick) => tick >= scale.from && tick <= scale.to),
        tickFormat: (value: number) => minus(String(value)),
      },
      y: { axis: null, domain: rows.map(({ name }) => name) },
      marks: [
        Plot.text([scale.low], { frameAnchor: 'top-left', dy: narrow ? -28 : -20, className: 'chart-end' }),
        Plot.text([scale.high], { frameAnchor: 'top-right', dy: narrow ? -28 : -20, className: 'chart-end' }),
        Plot.text(rows, {
          y: 'name',
          text: 'name',
          frameAnchor: 'left',
          ...(narrow
            ? { textAnchor: 'start', lineAnchor: 'bottom', dy: -12, lineWidth: 24 }
            : { textAnchor: 'end', dx: -12, lineWidth: 13.5 }),
        }),
        Plot.ruleY(rows, {
          x1: 'lower',
          x2: 'upper',
          y: 'name',
          strokeWidth: 11,
          insetLeft: -1.5,
          insetRight: -1.5,
          className: 'chart-half-edge',
        }),
        Plot.ruleY(rows, { x1: 'lower', x2: 'upper', y: 'name', strokeWidth: 8, className: 'chart-half' }),
        ...rows.map((one) => Plot.dot([one], { x: 'median', y: 'name', ...markOptions(one.place, 6) })),
      ],
    } as Plot.PlotOptions;
  });
  return { svg, caption: 'Symbol: median over listeners. Bar: the middle half of them, from quartile to quartile.' };
}
