import * as Plot from '@observablehq/plot';
import { markOptions, plainMark, twice } from './chart';

/** One row a prototype: its estimate as a symbol, its interval as a line. */
export interface IntervalRow {
  name: string;
  value: number;
  lower: number | null;
  upper: number | null;
  /** Place of the prototype in the plan; null for what is no prototype's. */
  place: number | null;
}

export interface IntervalAxis {
  label: string;
  /** Where the label is too long for the picture. */
  short?: string;
  /** A thin line with its words, where the axis has a point that matters. */
  mark: { at: number; words: string } | null;
  domain?: [number, number];
  ticks?: number[];
  percent?: boolean;
  /** Words at the two ends of a scale. */
  ends?: [low: string, high: string];
  /** From there outward it is worth finding, by the plan: one way, or either. */
  bounds?: number[];
  /** Rows that can't be told apart, by their places from the top: a thin line beside them joins each group. */
  groups?: number[][];
}

export function intervalChart(rows: readonly IntervalRow[], axis: IntervalAxis): string {
  return twice(axis.label, ({ narrow, width }) => {
    const { mark, ends, domain, bounds = [], groups = [] } = axis;
    const anchor = mark ? anchorOf(mark.at, rows, domain) : 'middle';
    const top = (mark || ends ? 26 : 12) + (narrow ? 10 : 0) + (bounds.length > 0 ? 18 : 0);
    const marginLeft = narrow ? 18 : 200;
    const marginRight = (narrow ? (axis.percent ? 26 : 14) : 30) + groups.length * bracket;
    return {
      height: top + 64 + rows.length * (narrow ? 56 : 38),
      marginLeft,
      marginRight,
      marginBottom: 46,
      marginTop: top,
      x: {
        label: axis.short && axis.label.length > (narrow ? 36 : 72) ? axis.short : axis.label,
        labelAnchor: 'center',
        labelArrow: 'none',
        ...(domain ? { domain } : { nice: true, domain: reachOf(rows, [...(mark ? [mark.at] : []), ...bounds]) }),
        ...(axis.ticks ? { ticks: axis.ticks, tickFormat: signed } : narrow ? { ticks: 5 } : {}),
        ...(axis.percent ? { tickFormat: '.0%' } : {}),
      },
      y: { axis: null, domain: rows.map((row) => row.name) },
      marks: [
        ...(mark
          ? [
              Plot.ruleX([mark.at], { className: 'chart-zero' }),
              Plot.text([mark.words], {
                x: mark.at,
                frameAnchor: 'top',
                textAnchor: anchor,
                dx: { start: -6, middle: 0, end: 6 }[anchor],
                dy: narrow ? -28 : -20,
                className: 'chart-note',
              }),
            ]
          : []),
        ...boundMarks(bounds, mark?.at ?? 0, domain ?? reachOf(rows, [...(mark ? [mark.at] : []), ...bounds]), narrow),
        ...(ends
          ? [
              Plot.text([ends[0]], { frameAnchor: 'top-left', dy: narrow ? -28 : -20, className: 'chart-end' }),
              Plot.text([ends[1]], { frameAnchor: 'top-right', dy: narrow ? -28 : -20, className: 'chart-end' }),
            ]
          : []),
        Plot.text(rows, {
          y: 'name',
          text: 'name',
          frameAnchor: 'left',
          ...(narrow
            ? { textAnchor: 'start', lineAnchor: 'bottom', dy: -12, lineWidth: 24 }
            : { textAnchor: 'end', dx: -12, lineWidth: 13.5 }),
        }),
        Plot.ruleY(
          rows.filter((row) => row.lower !== null && row.upper !== null),
          { x1: 'lower', x2: 'upper', y: 'name', strokeWidth: 2, className: 'chart-interval' },
        ),
        ...rows.map((row) =>
          Plot.dot([row], { x: 'value', y: 'name', ...(row.place === null ? plainMark() : markOptions(row.place)) }),
        ),
        ...groups.flatMap((group, i) =>
          joined(group, rows, (width - marginLeft - marginRight) / 2 + (narrow ? 12 : 16) + i * bracket),
        ),
      ],
    } as Plot.PlotOptions;
  });
}

/** Room for a line beside the rows. */
const bracket = 14;

/** As far as values, intervals and the lines that matter go, and a little further. */
function reachOf(rows: readonly IntervalRow[], lines: readonly number[]): [number, number] {
  const all = [...lines, ...rows.flatMap(({ value, lower, upper }) => [value, lower ?? value, upper ?? value])];
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const more = (most - least) * 0.04;
  return [least - more, most + more];
}

/** Where what is worth finding begins, and which way it lies from there. */
const boundMarks = (
  bounds: readonly number[],
  none: number,
  [least, most]: readonly [number, number],
  narrow: boolean,
) =>
  bounds.flatMap((at) => {
    const up = at > none;
    // Where there is little room beyond the line, the words end where the picture does.
    const beyond = (up ? most - at : at - least) / (most - least);
    const place =
      beyond < (narrow ? 0.36 : 0.2)
        ? { frameAnchor: up ? 'top-right' : 'top-left', dx: up ? 14 : -14 }
        : { x: at, frameAnchor: 'top', textAnchor: up ? 'start' : 'end', dx: up ? -4 : 4 };
    return [
      Plot.ruleX([at], { className: 'chart-critical' }),
      Plot.text([up ? 'worth finding →' : '← worth finding'], {
        ...(place as Plot.TextOptions),
        dy: narrow ? -46 : -38,
        className: 'chart-note',
      }),
    ];
  });

/** A thin line from the first to the last of a group, with a dot at each that is in it. */
function joined(group: readonly number[], rows: readonly IntervalRow[], dx: number) {
  const names = group.flatMap((place) => rows[place]?.name ?? []);
  const [first, last] = [names[0], names.at(-1)];
  return [
    Plot.ruleX([0], { x: null, y1: () => first, y2: () => last, dx, className: 'chart-zero' }),
    Plot.dot(
      names.map((name) => ({ name })),
      {
        y: 'name',
        frameAnchor: 'middle',
        dx,
        r: 3,
        fill: 'currentColor',
        stroke: 'none',
        className: 'chart-joined',
      },
    ),
  ];
}

const signed = (value: number): string => String(value).replace('-', '\u2212');

/** Words at a line near an end of the picture stand to its other side, so that none is cut off. */
function anchorOf(
  at: number,
  rows: readonly IntervalRow[],
  domain: [number, number] | undefined,
): 'start' | 'middle' | 'end' {
  const shown = domain ?? [at, ...rows.flatMap(({ value, lower, upper }) => [value, lower ?? value, upper ?? value])];
  const [least, most] = [Math.min(...shown), Math.max(...shown)];
  const place = most - least < 1e-9 ? 0.5 : (at - least) / (most - least);
  if (place < 0.15) return 'start';
  return place > 0.85 ? 'end' : 'middle';
}
