import * as Plot from '@observablehq/plot';
import { markOptions, twice } from './chart';

/** A line from one end to the other, with marks of prototypes on it. */
export interface Line {
  name: string;
  low: string;
  high: string;
  /** From 0, the low end, to 1. */
  marks: { at: number; place: number }[];
}

const step = 13;

/** Lines beneath each other, each with its name above and its ends beneath, marks stacked where they would cover. */
export const linesChart = (lines: readonly Line[], label: string): string =>
  twice(label, ({ width, narrow }) => {
    const [left, right] = [16, 16];
    const length = width - left - right;
    let bottom = 4;
    const drawn = lines.map((line) => {
      const stacked = stack(line.marks, 15 / length);
      const highest = Math.max(0, ...stacked.map(({ level }) => level));
      // Name, marks, line, words at the ends.
      const y = bottom + 26 + highest * step + 10;
      bottom = y + 30 + (narrow ? 6 : 10);
      return { ...line, y, top: y - highest * step - 20, stacked };
    });
    const height = bottom;
    return {
      height,
      marginLeft: left,
      marginRight: right,
      marginTop: 0,
      marginBottom: 0,
      x: { axis: null, domain: [0, 1] },
      y: { axis: null, domain: [height, 0] },
      marks: [
        Plot.ruleY(drawn, { y: 'y', x1: 0, x2: 1, className: 'chart-zero' }),
        Plot.ruleX(
          drawn.flatMap(({ y }) => [0, 1].map((x) => ({ x, y1: y - 4, y2: y + 4 }))),
          { x: 'x', y1: 'y1', y2: 'y2', className: 'chart-zero' },
        ),
        Plot.text(drawn, {
          x: 0,
          y: 'top',
          text: 'name',
          textAnchor: 'start',
          className: 'chart-line-name',
          lineWidth: narrow ? 22 : 40,
        }),
        Plot.text(drawn, { x: 0, y: ({ y }) => y + 15, text: 'low', textAnchor: 'start', className: 'chart-end' }),
        Plot.text(drawn, { x: 1, y: ({ y }) => y + 15, text: 'high', textAnchor: 'end', className: 'chart-end' }),
        ...drawn.flatMap(({ y, stacked }) =>
          stacked.map(({ at, place, level }) =>
            Plot.dot([{ at, y: y - level * step }], { x: 'at', y: 'y', ...markOptions(place, 6) }),
          ),
        ),
      ],
    } as Plot.PlotOptions;
  });

/** A mark that would cover another stands above it. */
function stack<M extends { at: number }>(marks: readonly M[], gap: number): (M & { level: number })[] {
  const placed: (M & { level: number })[] = [];
  for (const mark of [...marks].sort((a, b) => a.at - b.at)) {
    let level = 0;
    while (placed.some((one) => one.level === level && Math.abs(one.at - mark.at) < gap)) level++;
    placed.push({ ...mark, level });
  }
  return placed;
}
