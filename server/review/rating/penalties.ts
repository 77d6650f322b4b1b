import * as Plot from '@observablehq/plot';
import { fewestOnSide } from '../../../protocols/penalties';
import type { Ratings } from '../../../shared/findings';
import type { Penalty } from '../../../shared/findings-result';
import type { Plan } from '../../../shared/plan';
import { decimals, minus, percent } from '../../number-words';
import { type Chart, markOptions, twice } from '../chart';
import { pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn, placeIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import { spreadOut } from '../spread-out';
import type { RatedSection, RatedTable } from '../view-models';
import { row, section } from './section';

/** One side of one attribute for one prototype. */
interface Side {
  words: string;
  prototype: string;
  share: number;
  drop: number | null;
  p: number | null;
  pAdjusted: number | null;
}

/** What too little or too much of something costs in liking; null where nothing of it was asked. */
export function penaltiesSection({ penalties }: Ratings, plan: Plan): RatedSection | null {
  if (!penalties || penalties.length === 0) return null;
  const sides = penalties.flatMap((one) => sidesOf(one, plan));
  const costs = sides.filter(
    ({ share, drop, pAdjusted }) =>
      share >= fewestOnSide && (drop ?? 0) > 0 && pAdjusted !== null && pAdjusted <= plan.risks.alpha,
  );
  const name = nameIn(plan);
  return section({
    id: 'penalties',
    heading: 'Too little, too much, and what it costs',
    sentences: [
      costs.length === 0
        ? 'No side of any attribute is shown to cost liking. That doesn’t show that none does.'
        : `Those who find these like the sample less than those for whom it is just about right: ${costs
            .map(
              ({ words, prototype, share, drop }) =>
                `${name(prototype)}, “${words}” (${percent(share)}, ${decimals(drop ?? 0, 1)} points less)`,
            )
            .join('; ')}.`,
      'Looked at as well, and not what the verdict rests on: whoever finds too much of something may also dislike it for another reason.',
    ],
    key: plan.prototypes
      .map(({ id }) => id)
      .filter((id) => sides.some(({ prototype }) => prototype === id))
      .map(markedIn(plan)),
    charts: penaltyChart(sides, plan),
    tables: [penaltyTable(penalties, plan)],
    note: 'Drop: mean liking of those for whom it is just about right, less that of those on the side. Sides with less than 20 % of the listeners are left aside, by common practice; p by Welch’s test, corrected together by Holm.',
  });
}

function sidesOf({ scale, prototype, low, high }: Penalty, plan: Plan): Side[] {
  const of = scaleIn(plan, scale);
  return [
    { ...low, prototype, words: `${of.name}: ${of.low}` },
    { ...high, prototype, words: `${of.name}: ${of.high}` },
  ];
}

/** How many find it against what it costs. Those that count have their words beside them. */
function penaltyChart(sides: readonly Side[], plan: Plan): Chart[] {
  const drawn = sides.flatMap((one) =>
    one.drop === null ? [] : [{ ...one, drop: one.drop, place: placeIn(plan)(one.prototype) }],
  );
  if (drawn.length === 0) return [];
  const drops = drawn.map(({ drop }) => drop);
  const [least, most] = [Math.min(0, ...drops), Math.max(1, ...drops)];
  const svg = twice('Share of listeners on a side, and what it costs in liking', ({ narrow }) => {
    const height = narrow ? 360 : 380;
    const margin = { top: 30, bottom: 46, left: 40, right: narrow ? 118 : 210 };
    const reach = most - least;
    const domain: [number, number] = [least - 0.06 * reach, most + 0.1 * reach];
    const perPixel = (domain[1] - domain[0]) / (height - margin.top - margin.bottom);
    const named = spreadOut(
      drawn.filter(({ share }) => share >= fewestOnSide),
      ({ drop }) => drop,
      perPixel * 17,
      [domain[0] + perPixel * 8, domain[1] - perPixel * 8],
    );
    const widest = Math.min(1, Math.max(0.5, ...drawn.map(({ share }) => share)) + 0.05);
    return {
      height,
      marginTop: margin.top,
      marginBottom: margin.bottom,
      marginLeft: margin.left,
      marginRight: margin.right,
      x: {
        label: 'Share of listeners on that side',
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [0, widest],
        tickFormat: '.0%',
        ticks: narrow ? 3 : 5,
      },
      y: { domain, label: null, tickFormat: (value: number) => minus(String(value)), ticks: 5 },
      marks: [
        Plot.text(['↑ points of liking lost'], { frameAnchor: 'top-left', dx: -32, dy: -22, className: 'chart-end' }),
        Plot.ruleY([0], { className: 'chart-zero' }),
        Plot.ruleX([fewestOnSide], { className: 'chart-critical' }),
        Plot.text(['a fifth'], {
          x: fewestOnSide,
          frameAnchor: 'top',
          textAnchor: 'start',
          dx: 5,
          dy: 2,
          className: 'chart-note',
        }),
        // From a mark to its words, which stand apart where marks are close.
        Plot.link(named, {
          x1: 'share',
          x2: () => widest,
          y1: 'drop',
          y2: 'at',
          className: 'chart-lead',
        }),
        ...drawn.map((one) =>
          Plot.dot([one], { x: 'share', y: 'drop', ...markOptions(one.place, one.share >= fewestOnSide ? 7 : 4) }),
        ),
        Plot.text(named, {
          x: () => widest,
          y: 'at',
          text: 'words',
          dx: 8,
          textAnchor: 'start',
          lineWidth: narrow ? 8.5 : 15,
          textOverflow: 'ellipsis',
        }),
      ],
    } as Plot.PlotOptions;
  });
  return [
    {
      svg,
      caption:
        'Right of the dashed line a fifth of the listeners or more find so. The higher, the more liking it costs; small marks are left aside.',
    },
  ];
}

function penaltyTable(penalties: readonly Penalty[], plan: Plan): RatedTable {
  const scales = [...new Set(penalties.map(({ scale }) => scale))];
  const cells = ({ share, drop, pAdjusted }: Penalty['low']): string[] => [
    percent(share),
    drop === null ? '–' : decimals(drop),
    pWords(pAdjusted),
  ];
  return {
    caption: 'Shares of listeners on either side, and drop of liking in points',
    of: 'Prototype',
    columns: ['Too little', 'Drop', 'p, Holm', 'Just right', 'Too much', 'Drop', 'p, Holm'],
    groups: scales.map((scale) => {
      const { name, low, high } = scaleIn(plan, scale);
      return {
        heading: `${name}: “${low}” … “${high}”`,
        rows: penalties
          .filter((one) => one.scale === scale)
          .map((one) => {
            const mark = markedIn(plan)(one.prototype);
            return row(mark.prototype, [...cells(one.low), percent(one.right), ...cells(one.high)], { mark });
          }),
      };
    }),
  };
}
