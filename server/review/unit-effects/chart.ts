import * as Plot from '@observablehq/plot';
import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import type { Plan } from '../../../shared/plan';
import { markOptions, twice } from '../chart';
import { nameIn, placeIn } from '../plan-names';

/** What the axis of the picture is. */
export interface UnitAxis {
  label: string;
  short: string;
  domain: [number, number];
  percent: boolean;
  /** A thin line with its words. */
  mark: { at: number; words: string } | null;
}

/** More rows than these are a table and no picture. */
const mostRows = 40;

/** Each prototype's figure with its interval, and under it its units as small marks; null for too many. */
export function unitsChart(prototypes: UnitEffectsFindings['prototypes'], axis: UnitAxis, plan: Plan): string | null {
  const [name, placeOf] = [nameIn(plan), placeIn(plan)];
  const shown = prototypes.flatMap(({ prototype, units, ...figure }) => {
    const own = { place: placeOf(prototype), value: figure.value, lower: figure.lower, upper: figure.upper };
    const several = units.length > 1 ? units : [];
    return [
      { ...own, name: name(prototype), unit: false },
      ...several.map(({ serial, value, lower, upper }) => ({
        ...{ place: own.place, value, lower, upper },
        name: serial,
        unit: true,
      })),
    ];
  });
  if (shown.length > mostRows) return null;
  return twice(axis.label, ({ narrow }) => {
    const top = axis.mark ? 34 : 14;
    let at = top;
    let last = 0;
    const rows = shown.map((row, i) => {
      // A long name goes over lines: on a phone above its row, else around it.
      const more = (Math.ceil(row.name.length / (narrow ? 32 : 20)) - 1) * 17;
      at += (i === 0 ? 12 : (row.unit ? 22 : 34) + (narrow ? 16 : 0)) + (narrow ? more : (last + more) / 2);
      last = more;
      return { ...row, y: at };
    });
    const height = at + 62;
    const [least, most] = axis.domain;
    const inside = (value: number) => Math.min(most, Math.max(least, value));
    return {
      height,
      marginTop: 0,
      marginBottom: 0,
      marginLeft: narrow ? 14 : 200,
      marginRight: narrow ? 26 : 30,
      x: { axis: null, domain: axis.domain },
      y: { axis: null, domain: [height, 0] },
      marks: [
        Plot.axisX({
          anchor: 'bottom',
          dy: -44,
          label: narrow ? axis.short : axis.label,
          labelAnchor: 'center',
          labelArrow: 'none',
          ...(narrow ? { ticks: 5 } : {}),
          ...(axis.percent ? { tickFormat: '.0%' } : {}),
        }),
        ...(axis.mark
          ? [
              Plot.ruleX([axis.mark.at], { y1: top - 12, y2: height - 44, className: 'chart-zero' }),
              Plot.text([axis.mark.words], { x: axis.mark.at, y: top - 20, className: 'chart-note' }),
            ]
          : []),
        ...[false, true].map((unit) =>
          Plot.text(
            rows.filter((row) => row.unit === unit),
            {
              y: ({ y }: { y: number }) => (narrow ? y - 11 : y),
              text: 'name',
              frameAnchor: 'left',
              className: unit ? 'chart-end' : 'chart-line-name',
              ...(narrow
                ? { textAnchor: 'start', lineAnchor: 'bottom', lineWidth: 24 }
                : { textAnchor: 'end', dx: -12, lineWidth: 13.5 }),
            },
          ),
        ),
        Plot.ruleY(
          rows.filter(({ lower, upper }) => lower !== null && upper !== null),
          {
            x1: ({ lower }: { lower: number }) => inside(lower),
            x2: ({ upper }: { upper: number }) => inside(upper),
            y: 'y',
            strokeWidth: ({ unit }: { unit: boolean }) => (unit ? 1 : 2),
            className: 'chart-interval',
          },
        ),
        ...rows.map((row) => Plot.dot([row], { x: 'value', y: 'y', ...markOptions(row.place, row.unit ? 4 : 7) })),
      ],
    } as Plot.PlotOptions;
  });
}
