import * as Plot from '@observablehq/plot';
import type { MeasuredResponses } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { minus } from '../../number-words';
import { hueClass, markOptions, twice } from '../chart';
import { nameIn, placeIn, shortNameIn } from '../plan-names';
import { spreadOut } from '../spread-out';

/** A decade and its thirds, as people name frequencies. */
const named = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000];
/** A mark for every so many bands: a line is told by them in grey, too. */
const markEvery = 4;
/** The picture reaches at least so far to either side, in dB, so that little looks little. */
const leastReach = 3;

/** Differences from the baseline over frequency, a line a prototype. */
export function responseChart({ baseline, bands, prototypes }: MeasuredResponses, plan: Plan): string {
  const [name, short, placeOf] = [nameIn(plan), shortNameIn(plan), placeIn(plan)];
  const others = prototypes.filter(({ prototype }) => prototype !== baseline);
  const reach = Math.max(leastReach, ...others.flatMap(({ less }) => less.map(Math.abs))) * 1.1;
  const [from, to] = [bands[0] ?? 20, bands.at(-1) ?? 20_000];
  return twice(`Measured level less that of ${name(baseline)}, in decibels over frequency`, ({ narrow }) => {
    const height = narrow ? 280 : 320;
    const [top, bottom] = [34, 46];
    const names = named.filter((one, i) => one >= from && one <= to && (!narrow || i % 2 === 1));
    const labels = spreadOut(
      others.map(({ prototype, less }) => ({ prototype, end: less.at(-1) ?? 0 })),
      ({ end }) => end,
      (2 * reach * 20) / (height - top - bottom),
      [-reach, reach],
    );
    return {
      height,
      marginLeft: 40,
      marginRight: narrow ? 92 : 150,
      marginTop: top,
      marginBottom: bottom,
      x: {
        // By its logarithm, since an axis that knows it is one leaves out most of these names.
        domain: [Math.log10(from), Math.log10(to)],
        ticks: names.map(Math.log10),
        tickFormat: (_: number, i: number) => hertz(names[i] ?? 0),
        tickSize: 0,
        label: 'Frequency, Hz',
        labelAnchor: 'center',
        labelArrow: 'none',
      },
      y: {
        domain: [-reach, reach],
        ticks: 5,
        tickFormat: (value: number) => minus(String(value)),
        tickSize: 0,
        label: null,
      },
      marks: [
        Plot.gridY({ ticks: 5, className: 'chart-grid' }),
        Plot.ruleY([0], { className: 'chart-zero' }),
        Plot.text(['dB'], { frameAnchor: 'top-left', dx: -34, dy: -24, className: 'chart-end' }),
        Plot.text([`0: as ${name(baseline)}`], {
          frameAnchor: 'top-left',
          dx: 6,
          dy: -24,
          className: 'chart-note',
        }),
        ...others.flatMap(({ prototype, less }) => {
          const at = placeOf(prototype);
          const points = less.map((level, i) => ({ band: Math.log10(bands[i] ?? 1), level }));
          return [
            Plot.line(points, { x: 'band', y: 'level', strokeWidth: 4, className: 'chart-edge' }),
            Plot.line(points, { x: 'band', y: 'level', strokeWidth: 2.5, className: `chart-line ${hueClass(at)}` }),
            Plot.dot(
              points.filter((_, i) => i % markEvery === at % markEvery || i === points.length - 1),
              { x: 'band', y: 'level', ...markOptions(at, 5) },
            ),
          ];
        }),
        Plot.text(labels, {
          x: Math.log10(to),
          y: 'at',
          text: ({ prototype }: { prototype: string }) => (narrow ? short : name)(prototype),
          dx: 12,
          textAnchor: 'start',
          lineWidth: narrow ? 5.5 : 9.5,
          textOverflow: 'ellipsis',
        }),
      ],
    } as Plot.PlotOptions;
  });
}

export const hertz = (band: number): string => (band < 1000 ? String(band) : `${band / 1000}k`);
