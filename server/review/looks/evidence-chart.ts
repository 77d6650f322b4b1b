import * as Plot from '@observablehq/plot';
import { ratioWords } from '../../looks-words';
import { type Chart, twice } from '../chart';

/** Where the evidence stands between its bounds. The two ends are the same whichever sample it speaks for. */
export function evidenceChart(at: { evidence: number; upper: number; lower: number | null }): Chart {
  const { evidence, upper, lower } = at;
  const [from, to] = [Math.min(lower ?? -1, evidence, 0), Math.max(upper, evidence)];
  const room = (to - from) * 0.08;
  const svg = twice('How far the answers speak for the effect, between the bounds', ({ narrow }) => ({
    height: 118,
    marginLeft: 14,
    marginRight: 14,
    marginTop: 44,
    marginBottom: 34,
    x: { axis: null, domain: [from - room, to + room] },
    y: { axis: null, domain: [-1, 1] },
    marks: [
      Plot.ruleY([0], { x1: from - room, x2: to + room, className: 'chart-zero' }),
      ...mark(0, 'even', 'chart-note', 'bottom'),
      ...mark(upper, `stops at ${ratioWords(upper)} to 1 for`, 'chart-critical', 'top', 'end'),
      ...(lower === null
        ? []
        : mark(
            lower,
            `${narrow ? '' : 'stops at '}${ratioWords(-lower)} to 1 against`,
            'chart-critical',
            'top',
            'start',
          )),
      Plot.dot([evidence], { x: evidence, y: 0, r: 7, fill: 'currentColor', stroke: 'none', className: 'chart-came' }),
    ],
  }));
  return { svg, caption: null };
}

function mark(
  at: number,
  words: string,
  className: string,
  side: 'top' | 'bottom',
  textAnchor: 'start' | 'middle' | 'end' = 'middle',
) {
  return [
    Plot.ruleX([at], { y1: -0.6, y2: side === 'top' ? 1 : 0.6, className }),
    Plot.text([words], {
      x: at,
      frameAnchor: side,
      dy: side === 'top' ? -14 : 16,
      textAnchor,
      className: className === 'chart-critical' ? 'chart-critical-words' : className,
    }),
  ];
}
