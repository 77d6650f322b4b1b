import * as Plot from '@observablehq/plot';
import type { ProfileMap } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { percent } from '../../number-words';
import { markOptions, twice } from '../chart';
import { nameIn, placeIn, shortNameIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import { labelPlaces } from './label-places';

interface Arrow {
  x: number;
  y: number;
  /** Words at its end. */
  name: string | null;
}

const away = 1.32;

/** Prototypes on the map with the attributes as arrows. */
export function profileChart(map: ProfileMap, plan: Plan): string {
  const reach = reachOf(map);
  const longest = Math.max(...map.attributes.map(({ x, y }) => Math.hypot(x, y)));
  const arrows = map.attributes.map(({ scale, x, y }) => ({
    x: (x / longest) * reach,
    y: (y / longest) * reach,
    name: scaleIn(plan, scale).name,
  }));
  return mapChart(map, arrows, 'What prototypes are like, on a map', plan);
}

/** The same with an arrow for each listener, toward what he or she likes: as long as it explains, a circle for all. */
export function likingChart(map: ProfileMap, plan: Plan): string | null {
  if (!map.liking) return null;
  const reach = reachOf(map);
  const arrows = map.liking.listeners.map(({ x, y, rSquared }): Arrow => {
    const length = Math.hypot(x, y) || 1;
    const part = (Math.sqrt(rSquared) * reach) / length;
    return { x: x * part, y: y * part, name: null };
  });
  return mapChart(map, arrows, 'Where each listener’s liking grows, on the map', plan);
}

const reachOf = ({ prototypes }: ProfileMap): number =>
  Math.max(...prototypes.flatMap(({ x, y }) => [Math.abs(x), Math.abs(y)]));

/** A unit is as long either way, so that angles and distances are what they look. */
function mapChart(map: ProfileMap, arrows: readonly Arrow[], label: string, plan: Plan): string {
  const [name, short, placeOf] = [nameIn(plan), shortNameIn(plan), placeIn(plan)];
  const edge = reachOf(map) * away;
  const ends = arrows.filter((arrow): arrow is Arrow & { name: string } => arrow.name !== null);
  return twice(label, ({ width, narrow }) => {
    const side = narrow ? 28 : 90;
    const inner = width - 2 * side;
    const [top, bottom] = [26, 46];
    const height = inner + top + bottom;
    const named = [
      ...map.prototypes.map(({ prototype, x, y }) => ({
        x,
        y,
        name: (narrow ? short : name)(prototype),
        mark: 8,
        className: 'chart-words',
      })),
      ...ends.map((end) => ({ ...end, mark: 0, className: 'chart-end' })),
    ];
    const pixel = (value: number) => (value / edge / 2 + 0.5) * inner;
    const most = narrow ? 13 : 22;
    const places = labelPlaces(
      named.map((one) => ({
        ...{ x: side + pixel(one.x), y: top + pixel(-one.y), mark: one.mark },
        words: one.name.slice(0, most),
      })),
      { width, height: height - bottom },
    );
    return {
      height,
      marginLeft: side,
      marginRight: side,
      marginTop: top,
      marginBottom: bottom,
      x: {
        domain: [-edge, edge],
        ticks: [],
        label: `First component: ${percent(map.shares[0])} of the variance`,
        labelAnchor: 'center',
        labelArrow: 'none',
      },
      y: { axis: null, domain: [-edge, edge] },
      marks: [
        Plot.ruleX([0], { className: 'chart-grid' }),
        Plot.ruleY([0], { className: 'chart-grid' }),
        Plot.text([`↑ Second component: ${percent(map.shares[1])}`], {
          x: 0,
          frameAnchor: 'top',
          dy: -14,
          className: 'chart-note',
        }),
        Plot.link(arrows, {
          x1: 0,
          y1: 0,
          x2: 'x',
          y2: 'y',
          strokeWidth: 1,
          className: 'chart-lead',
        }),
        Plot.dot(
          arrows.filter((arrow) => arrow.name === null),
          { x: 'x', y: 'y', r: 2.5, fill: 'currentColor', stroke: 'none', className: 'chart-came' },
        ),
        ...map.prototypes.map((one) => Plot.dot([one], { x: 'x', y: 'y', ...markOptions(placeOf(one.prototype)) })),
        ...named.map((one, i) => {
          const place = places[i] ?? { anchor: 'start', dx: 12, dy: 0 };
          return Plot.text([one], {
            x: 'x',
            y: 'y',
            text: 'name',
            ...{ dx: place.dx, dy: place.dy, textAnchor: place.anchor, className: one.className },
            lineWidth: most / 1.9,
            // In full in the tables.
            textOverflow: 'ellipsis',
          });
        }),
      ],
    } as Plot.PlotOptions;
  });
}
