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
  /** Shares as per cent, differences of shares as percentage points, all else as it is. */
  values: 'share' | 'points-of-share' | 'plain';
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
    const [left, right] = [narrow ? 58 : 72, narrow ? 16 : 24];
    const room = (width - left - right) / classes.length;
    // Beside the first step there is room for a few words on a wide picture alone.
    const above = room < 12 * axis.none.words.length;
    const top = above ? 34 : 18;
    return {
      height: 270,
      marginLeft: left,
      marginRight: right,
      marginTop: top,
      marginBottom: narrow ? 76 : 56,
      x: { axis: null, domain: [0.5, classes.length + 0.5] },
      y: {
        label: null,
        domain: [least, most],
        ticks: 5,
        tickFormat: ticks[axis.values],
      },
      marks: [
        Plot.ruleY([axis.none.at], { className: 'chart-zero' }),
        Plot.text([axis.none.words], {
          ...(above ? { frameAnchor: 'top-left', dy: -30 } : { x: 0.5, y: axis.none.at, dy: -10 }),
          text: (words: string) => (above ? `Line: ${words}` : words),
          textAnchor: 'start',
          dx: above ? 0 : 4,
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
            lineWidth: Math.max(3, (room - 12) / 14),
            className: 'chart-end',
          },
        ),
        Plot.text(room < 100 ? [] : classes.slice(1).map((_, i) => ({ x: i + 1.5 })), {
          x: 'x',
          text: () => '→',
          frameAnchor: 'bottom',
          lineAnchor: 'top',
          dy: 14,
          className: 'chart-note',
        }),
      ],
    } as Plot.PlotOptions;
  });
}

const minus = (text: string): string => text.replace('-', '\u2212');
const ticks: Record<StepsAxis['values'], (value: number) => string> = {
  share: (value) => `${Math.round(value * 100)}\u00a0%`,
  'points-of-share': (value) => minus(`${value > 0 ? '+' : ''}${Math.round(value * 100)}`),
  plain: (value) => minus(`${value > 0 ? '+' : ''}${Number(value.toFixed(2))}`),
};

function reach(steps: readonly StepFigure[], none: number): [number, number] {
  const all = [none, ...steps.flatMap(({ lower, upper }) => [lower, upper])];
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const more = Math.max(most - least, 1e-9) * 0.12;
  return [least - more, most + more];
}
