import * as Plot from '@observablehq/plot';
import { plainMark, twice } from '../chart';

/** A figure of a step, with its interval. */
export interface StepFigure {
  value: number;
  lower: number;
  upper: number;
}

export interface StepsAxis {
  /** What is seen. */
  title: string;
  percent: boolean;
  /** Where there is nothing gained, or nothing told apart. */
  none: { at: number; words: string };
  /** The whole of what there may be; left out, as far as intervals go. */
  domain?: [number, number];
}

/** Price classes from left to right, and between each two the figure of the step. */
export function stepsChart(classes: readonly string[], steps: readonly (StepFigure | null)[], axis: StepsAxis): string {
  const drawn = steps.flatMap((step, i) => (step ? [{ ...step, x: i + 1.5 }] : []));
  const [least, most] = axis.domain ?? reach(drawn, axis.none.at);
  return twice(axis.title, ({ narrow, width }) => {
    const [left, right] = [narrow ? 44 : 64, narrow ? 16 : 24];
    const room = (width - left - right) / classes.length;
    return {
      height: narrow ? 250 : 270,
      marginLeft: left,
      marginRight: right,
      marginTop: 18,
      marginBottom: 56,
      x: { axis: null, domain: [0.5, classes.length + 0.5] },
      y: {
        label: null,
        domain: [least, most],
        ticks: 5,
        ...(axis.percent
          ? { tickFormat: (share: number) => `${Math.round(share * 100)}\u00a0%`.replace('-', '\u2212') }
          : {}),
      },
      marks: [
        Plot.ruleY([axis.none.at], { className: 'chart-zero' }),
        Plot.text([axis.none.words], {
          x: 0.5,
          y: axis.none.at,
          textAnchor: 'start',
          dx: 4,
          dy: -8,
          className: 'chart-note',
        }),
        Plot.ruleX(drawn, { x: 'x', y1: 'lower', y2: 'upper', strokeWidth: 2, className: 'chart-interval' }),
        Plot.dot(drawn, { x: 'x', y: 'value', ...plainMark() }),
        Plot.text(
          classes.map((words, i) => ({ words, x: i + 1 })),
          {
            x: 'x',
            text: 'words',
            frameAnchor: 'bottom',
            lineAnchor: 'top',
            dy: 14,
            lineWidth: Math.max(4, room / 9),
            className: 'chart-end',
          },
        ),
        Plot.text(
          classes.slice(1).map((_, i) => ({ x: i + 1.5 })),
          { x: 'x', text: () => '→', frameAnchor: 'bottom', lineAnchor: 'top', dy: 14, className: 'chart-note' },
        ),
      ],
    } as Plot.PlotOptions;
  });
}

function reach(steps: readonly StepFigure[], none: number): [number, number] {
  const all = [none, ...steps.flatMap(({ lower, upper }) => [lower, upper])];
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const more = Math.max(most - least, 1e-9) * 0.12;
  return [least - more, most + more];
}
