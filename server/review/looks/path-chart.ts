import * as Plot from '@observablehq/plot';
import type { LooksDetail } from '../../../protocols/results';
import { ratioWords } from '../../looks-words';
import { type Chart, twice } from '../chart';

/** How the evidence went, answer by answer, up to the decision. Null before any answer. */
export function pathChart(looks: LooksDetail, what: { one: string; many: string }): Chart | null {
  const { path, upper, lower, decidedAt, counted } = looks;
  if (path.length === 0) return null;
  const points = [{ at: 0, log: 0 }, ...path.map((log, i) => ({ at: i + 1, log }))];
  const bounds = [upper, ...(lower === null ? [] : [lower])];
  const logs = [...path, ...bounds, 0];
  const last = points.at(-1) as { at: number; log: number };
  const left = last.at > counted * 0.5;
  const svg = twice('How far the answers spoke for the effect, one after the other', ({ narrow }) => ({
    height: narrow ? 250 : 280,
    marginLeft: 52,
    marginRight: 14,
    marginTop: 30,
    marginBottom: 46,
    x: {
      label: `${what.many[0]?.toUpperCase()}${what.many.slice(1)}, as they came`,
      labelAnchor: 'center',
      labelArrow: 'none',
      domain: [0, Math.max(counted, 2)],
      ticks: Math.min(counted, narrow ? 4 : 8),
      tickFormat: 'd',
    },
    y: {
      label: null,
      // Below an even chance there is always room for the words.
      domain: [Math.min(...logs, -0.8) - 0.3, Math.max(...logs, 0.8) + 0.3],
      ticks: ticksOf(Math.min(...logs), Math.max(...logs)),
      tickFormat: oddsWords,
    },
    marks: [
      Plot.ruleY([0], { className: 'chart-zero' }),
      ...bound(upper, `at ${ratioWords(upper)} to 1 for it: shown`),
      ...(lower === null ? [] : bound(lower, `at ${ratioWords(-lower)} to 1 against: ended`)),
      Plot.line(points, { x: 'at', y: 'log', curve: 'step-after', className: 'chart-path' }),
      Plot.dot([last], { x: 'at', y: 'log', r: 6, fill: 'currentColor', stroke: 'none', className: 'chart-came' }),
      Plot.ruleX([last.at], { y1: 0, y2: last.log, className: 'chart-critical' }),
      Plot.text([decidedAt === null ? `the last, ${counted}` : `decided by ${what.one} ${decidedAt}`], {
        x: last.at,
        y: 0,
        dx: left ? 6 : -6,
        dy: last.log > 0 ? 14 : -14,
        textAnchor: left ? 'end' : 'start',
        className: 'chart-came-words',
      }),
    ],
  }));
  return {
    svg,
    caption: `How much likelier the ${what.many} were, one after the other, with the effect than without. What came after the decision isn’t drawn.`,
  };
}

function bound(at: number, words: string) {
  return [
    Plot.ruleY([at], { className: 'chart-critical' }),
    Plot.text([words], {
      y: at,
      frameAnchor: 'left',
      textAnchor: 'start',
      dx: 6,
      dy: -9,
      className: 'chart-critical-words',
    }),
  ];
}

/** Round odds for and against. */
const odds = [1, 3, 10, 30, 100, 1000, 10_000, 100_000];
const ticksOf = (from: number, to: number): number[] =>
  [...odds.slice(1).map((one) => -Math.log(one)), ...odds.map((one) => Math.log(one))].filter(
    (at) => at >= from - 0.3 && at <= to + 0.3,
  );

const oddsWords = (log: number): string =>
  Math.abs(log) < 1e-9 ? 'even' : log > 0 ? `${ratioWords(log)}\u2009:\u20091` : `1\u2009:\u2009${ratioWords(-log)}`;
