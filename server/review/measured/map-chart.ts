import * as Plot from '@observablehq/plot';
import type { ProfileMap } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { percent } from '../../number-words';
import { markOptions, twice } from '../chart';
import { nameIn, placeIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import { spreadOut } from '../spread-out';

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
  const [name, placeOf] = [nameIn(plan), placeIn(plan)];
  const edge = reachOf(map) * away;
  const named = arrows.some((arrow) => arrow.name !== null);
  return twice(label, ({ width, narrow }) => {
    const side = narrow ? 28 : 110;
    const inner = width - 2 * side;
    const [top, bottom] = [16, 46];
    const gap = (2 * edge * 17) / inner;
    // Words to the right of marks and at the ends of arrows, none over another.
    const words = spreadOut(
      map.prototypes.map((one) => ({ ...one, words: name(one.prototype) })),
      ({ y }) => y,
      gap,
      [-edge, edge],
    );
    const ends = arrows.filter((arrow): arrow is Arrow & { name: string } => arrow.name !== null);
    return {
      height: inner + top + bottom,
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
        Plot.ruleX([0], { className: 'chart-zero' }),
        Plot.ruleY([0], { className: 'chart-zero' }),
        Plot.text([`↑ Second component: ${percent(map.shares[1])}`], {
          x: 0,
          frameAnchor: 'top',
          dy: -8,
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
        ...(named
          ? ends.map((end) =>
              Plot.text([end], {
                x: 'x',
                y: 'y',
                text: 'name',
                textAnchor: 'middle',
                dy: end.y >= 0 ? -9 : 9,
                lineWidth: 9,
                className: 'chart-end',
              }),
            )
          : [
              Plot.dot(arrows, {
                x: 'x',
                y: 'y',
                r: 2.5,
                fill: 'currentColor',
                stroke: 'none',
                className: 'chart-came',
              }),
            ]),
        ...map.prototypes.map((one) => Plot.dot([one], { x: 'x', y: 'y', ...markOptions(placeOf(one.prototype)) })),
        Plot.text(words, {
          x: 'x',
          y: 'at',
          text: 'words',
          dx: 11,
          textAnchor: 'start',
          lineWidth: narrow ? 5 : 10,
          textOverflow: 'ellipsis',
        }),
      ],
    } as Plot.PlotOptions;
  });
}
