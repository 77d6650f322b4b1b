import * as Plot from '@observablehq/plot';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { minus } from '../../number-words';
import { type Chart, hueClass, markOptions, twice } from '../chart';
import { placeIn, shortNameIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import { sittingsAxis, thinned } from './sittings-chart';

interface Point {
  sitting: number;
  value: number;
  row: number;
}

/** Ratings of each prototype from sitting to sitting, a small picture each: a thin line a listener, the mean above them. */
export function prototypesChart({ prototypes = [] }: OverTimeFindings, plan: Plan): Chart | null {
  const shown = prototypes.map((one) => {
    const rows = thinned(one.rows.filter((means) => means.filter((value) => value !== null).length > 1));
    return { ...one, points: rows.flatMap(pointsOf), means: meansOf(one.rows) };
  });
  const last = Math.max(0, ...shown.map(({ means }) => means.at(-1)?.sitting ?? 0));
  if (last < 2) return null;
  const scale = scaleIn(plan, plan.primary.scale ?? '');
  const values = shown.flatMap(({ points, means }) => [...points, ...means].map(({ value }) => value));
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const more = Math.max((high - low) * 0.05, (scale.to - scale.from) * 0.02);
  const svg = twice(`Ratings by sitting, prototype by prototype, ${scale.name}`, ({ narrow }) => {
    const columns = Math.min(shown.length, narrow ? 2 : 3);
    const rows = Math.ceil(shown.length / columns);
    const at = (place: number) => ({ fx: () => place % columns, fy: () => Math.floor(place / columns) });
    return {
      height: 66 + rows * (narrow ? 150 : 170),
      marginLeft: 42,
      marginRight: 10,
      marginTop: 40,
      marginBottom: 44,
      fx: { axis: null, domain: Array.from({ length: columns }, (_, i) => i), padding: 0.12 },
      fy: { axis: null, domain: Array.from({ length: rows }, (_, i) => i), padding: 0.24 },
      x: { ...sittingsAxis(last, narrow), ...(columns > 1 && { label: 'Own sitting' }) },
      y: {
        domain: [low - more, high + more],
        label: null,
        ticks: 4,
        tickFormat: (value: number) => minus(String(value)),
        tickSize: 0,
      },
      marks: [
        Plot.gridY({ ticks: 4, className: 'chart-grid' }),
        ...shown.flatMap(({ prototype, points, means }, i) => {
          const place = placeIn(plan)(prototype);
          return [
            Plot.text([shortNameIn(plan)(prototype)], {
              ...at(i),
              frameAnchor: 'top-left',
              dy: -20,
              lineWidth: narrow ? 8 : 10,
              textOverflow: 'ellipsis',
              className: 'chart-line-name',
            }),
            Plot.line(points, { ...at(i), x: 'sitting', y: 'value', z: 'row', className: 'chart-listener' }),
            Plot.line(means, { ...at(i), x: 'sitting', y: 'value', strokeWidth: 4, className: 'chart-edge' }),
            Plot.line(means, {
              ...at(i),
              x: 'sitting',
              y: 'value',
              strokeWidth: 2.5,
              className: `chart-line ${hueClass(place)}`,
            }),
            Plot.dot(means, { ...at(i), x: 'sitting', y: 'value', ...markOptions(place, 5) }),
          ];
        }),
      ],
    } as Plot.PlotOptions;
  });
  return {
    svg,
    caption: `Ratings on the scale “${scale.name}”, ↑ ${scale.high}, ↓ ${scale.low}. With a mark: mean over the listeners who rated it then. Thin lines: single listeners.`,
  };
}

const pointsOf = (means: readonly (number | null)[], row: number): Point[] =>
  means.flatMap((value, i) => (value === null ? [] : [{ sitting: i + 1, value, row }]));

function meansOf(rows: readonly (readonly (number | null)[])[]): { sitting: number; value: number }[] {
  const last = Math.max(0, ...rows.map(({ length }) => length));
  return Array.from({ length: last }, (_, i) => i).flatMap((i) => {
    const own = rows.flatMap((means) => (means[i] === null || means[i] === undefined ? [] : [means[i] as number]));
    return own.length === 0 ? [] : [{ sitting: i + 1, value: own.reduce((sum, one) => sum + one, 0) / own.length }];
  });
}
