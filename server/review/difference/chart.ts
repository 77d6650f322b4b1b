import * as Plot from '@observablehq/plot';
import type { Difference } from '../../../shared/findings';
import { binomialPmf } from '../../../stats/binomial';
import { type Chart, twice } from '../chart';
import { about } from '../figures';

/**
 * Right answers beside what guessing gives: how likely each count is if nobody hears anything, from which count on the
 * difference is shown, and what came. Null before any answer.
 */
export function rightsChart({ correct, trials, critical }: Difference, chance: number): Chart | null {
  if (trials === 0) return null;
  const bars = barsOf(trials, chance, [correct, critical ?? correct]);
  const highest = Math.max(...bars.map(({ likely }) => likely));
  const inReach = critical !== null && critical <= (bars.at(-1)?.count ?? 0);
  const svg = twice('Right answers, and how likely each count is by guessing alone', ({ narrow }) => ({
    height: narrow ? 230 : 250,
    marginLeft: 14,
    marginRight: 14,
    marginTop: 56,
    marginBottom: 46,
    x: {
      label: `Right answers out of ${trials}`,
      labelAnchor: 'center',
      labelArrow: 'none',
      type: 'linear',
      domain: [(bars[0]?.count ?? 0) - 0.7, (bars.at(-1)?.count ?? trials) + 0.7],
      ticks: ticksOf(bars, narrow ? 5 : 9),
      tickFormat: 'd',
    },
    y: { axis: null, domain: [0, highest] },
    marks: [
      Plot.rectY(bars, {
        x1: ({ count }: Bar) => count - 0.42,
        x2: ({ count }: Bar) => count + 0.42,
        y: 'likely',
        fill: 'currentColor',
        className: 'chart-guess',
      }),
      Plot.ruleY([0], { className: 'chart-zero' }),
      ...(inReach ? line((critical as number) - 0.5, `${critical} or more show it`, bars, 'chart-critical', 24) : []),
      ...line(correct, `${correct} right`, bars, 'chart-came', 44),
      Plot.dot([correct], { x: correct, y: 0, r: 7, fill: 'currentColor', stroke: 'none', className: 'chart-came' }),
    ],
  }));
  return {
    svg,
    caption: `Bars: how likely each count of right answers is if nobody hears a difference; guessing gives ${about(chance * trials)} on average.`,
  };
}

interface Bar {
  count: number;
  likely: number;
}

/** Counts that guessing is likely to give, and those that matter here; the far ends of a long row are left out. */
function barsOf(trials: number, chance: number, shown: readonly number[]): Bar[] {
  const spread = Math.sqrt(trials * chance * (1 - chance));
  const from = Math.max(0, Math.min(Math.floor(chance * trials - 4 * spread), ...shown));
  const to = Math.min(trials, Math.max(Math.ceil(chance * trials + 4 * spread), ...shown));
  return Array.from({ length: to - from + 1 }, (_, i) => ({
    count: from + i,
    likely: binomialPmf(from + i, trials, chance),
  }));
}

/** A line with its words, on the side on which there is room. */
function line(at: number, words: string, bars: readonly Bar[], className: string, above: number) {
  const [first, last] = [bars[0]?.count ?? 0, bars.at(-1)?.count ?? 1];
  const left = at > (first + last) / 2;
  return [
    Plot.ruleX([at], { className }),
    Plot.text([words], {
      x: at,
      frameAnchor: 'top',
      dy: -above,
      dx: left ? -6 : 6,
      textAnchor: left ? 'end' : 'start',
      className: `${className}-words`,
    }),
  ];
}

function ticksOf(bars: readonly Bar[], most: number): number[] {
  const [first, last] = [bars[0]?.count ?? 0, bars.at(-1)?.count ?? 1];
  const step = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000].find((each) => (last - first) / each <= most) ?? 5000;
  return Array.from({ length: Math.floor(last / step) + 1 }, (_, i) => i * step).filter((tick) => tick >= first);
}
