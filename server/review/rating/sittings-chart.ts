import * as Plot from '@observablehq/plot';
import type { HabituationFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { minus } from '../../number-words';
import { type Chart, hueClass, markOptions, twice } from '../chart';
import { nameIn, placeIn } from '../plan-names';
import type { ShownScale } from '../shown-scale';

type SittingMean = HabituationFindings['sittings'][number];

/** Mean ratings from sitting to sitting, a line a prototype. Null where nobody sat twice. */
export function sittingsChart({ sittings }: HabituationFindings, scale: ShownScale, plan: Plan): Chart | null {
  const last = Math.max(0, ...sittings.map(({ sitting }) => sitting));
  if (last < 2) return null;
  const [name, place] = [nameIn(plan), placeIn(plan)];
  const lines = plan.prototypes.flatMap(({ id }) => {
    const own = sittings.filter(({ prototype }) => prototype === id);
    return own.length === 0 ? [] : [own];
  });
  const domain = domainOf(sittings, scale);
  const ticks = ticksIn(scale, domain).filter((value) => value >= domain[0] && value <= domain[1]);
  const svg = twice(`Mean rating by sitting, ${scale.name}`, ({ narrow }) => {
    const height = narrow ? 280 : 300;
    const [top, bottom] = [40, 46];
    const labels = spread(
      lines.map((own) => own.at(-1) as SittingMean),
      ((domain[1] - domain[0]) * 20) / (height - top - bottom),
    );
    return {
      height,
      marginLeft: 36,
      marginRight: narrow ? 112 : 190,
      marginTop: top,
      marginBottom: bottom,
      x: {
        label: narrow ? 'Own sitting' : 'Listeners’ own sitting in this study',
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [0.8, last + 0.2],
        ticks: Array.from({ length: last }, (_, i) => i + 1),
        tickFormat: 'd',
        tickSize: 0,
      },
      y: {
        domain,
        label: null,
        ticks,
        tickFormat: (value: number) => minus(String(value)),
        tickSize: 0,
      },
      marks: [
        Plot.gridY(ticks, { className: 'chart-grid' }),
        Plot.ruleX([1.5], { className: 'chart-zero' }),
        Plot.text([`↑ ${scale.high} · ↓ ${scale.low}`], {
          frameAnchor: 'top-left',
          dx: -30,
          dy: -26,
          className: 'chart-end',
        }),
        ...lines.flatMap((own) => {
          const at = place(own[0]?.prototype ?? '');
          return [
            // With an edge of ink, so that pale hues show on paper as well.
            Plot.line(own, { x: 'sitting', y: 'mean', strokeWidth: 4, className: 'chart-edge' }),
            Plot.line(own, { x: 'sitting', y: 'mean', strokeWidth: 2.5, className: `chart-line ${hueClass(at)}` }),
            Plot.dot(own, { x: 'sitting', y: 'mean', ...markOptions(at) }),
          ];
        }),
        Plot.text(labels, {
          x: 'sitting',
          y: 'at',
          text: ({ prototype }: SittingMean) => name(prototype),
          dx: 14,
          textAnchor: 'start',
          lineWidth: narrow ? 7 : 13,
          // In full in the table below, beside the same symbol.
          textOverflow: 'ellipsis',
        }),
      ],
    } as Plot.PlotOptions;
  });
  return {
    svg,
    caption: `Mean ratings over listeners, each counting the same.${panelNote(sittings)}${beforeNote(plan)}`,
  };
}

/** As much of the scale as the means take up, and a fifth of a long one or two points at least, so that small moves stay small. */
function domainOf(sittings: readonly SittingMean[], { from: low, to: high }: ShownScale): [number, number] {
  const step = stepOf(high - low);
  const means = sittings.map(({ mean }) => mean / step);
  let from = Math.floor(Math.min(...means) - 0.2);
  let to = Math.ceil(Math.max(...means) + 0.2);
  if (to - from < 3) [from, to] = [from - 1, to + 1];
  return [Math.max(low - 0.3 * step, from * step), Math.min(high + 0.3 * step, to * step)];
}

/** Marked values: whole points, or tens of a scale that has many. */
const stepOf = (range: number): number => (range > 20 ? 10 : range > 1 ? 1 : 0.25);

function ticksIn({ from, to }: ShownScale, [low, high]: [number, number]): number[] {
  const step = stepOf(to - from);
  const ticks: number[] = [];
  for (let tick = Math.ceil(low / step) * step; tick <= high; tick += step)
    if (tick >= from && tick <= to) ticks.push(tick);
  return ticks;
}

/** Places for names at the ends of lines, so far apart that none covers another. */
function spread(ends: readonly SittingMean[], gap: number): (SittingMean & { at: number })[] {
  const sorted = ends.map((end) => ({ ...end, at: end.mean })).sort((a, b) => a.mean - b.mean);
  for (let round = 0; round < 200; round++) {
    let moved = false;
    for (let i = 1; i < sorted.length; i++) {
      const [lower, upper] = [sorted[i - 1] as { at: number }, sorted[i] as { at: number }];
      const short = gap - (upper.at - lower.at);
      if (short <= 1e-6) continue;
      lower.at -= short / 2;
      upper.at += short / 2;
      moved = true;
    }
    if (!moved) break;
  }
  return sorted;
}

/** Says so where not everybody came every time: then sittings are of different people. */
function panelNote(sittings: readonly SittingMean[]): string {
  const counts = new Map<number, number>();
  for (const { sitting, listeners } of sittings) counts.set(sitting, Math.max(counts.get(sitting) ?? 0, listeners));
  const each = [...counts.values()];
  return new Set(each).size < 2
    ? ` ${each[0]} listeners each time.`
    : ` Not everybody came every time: ${each.join(', ')} listeners.`;
}

/** Who comes from another study had heard the samples before the first sitting of this one. */
const beforeNote = ({ follows }: Plan): string =>
  follows ? ' This study goes on from an earlier one, so its first sitting need not be a first contact.' : '';
