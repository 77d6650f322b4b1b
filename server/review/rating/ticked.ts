import * as Plot from '@observablehq/plot';
import type { Ratings } from '../../../shared/findings';
import type { Ticked } from '../../../shared/findings-result';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { type Chart, markOptions, twice } from '../chart';
import { pWords } from '../figures';
import { intervalChart } from '../interval-chart';
import { markedIn } from '../marked';
import { nameIn, placeIn } from '../plan-names';
import { scaleIn } from '../shown-scale';
import { groupsCaption, inseparable, placesOf } from '../told-apart';
import type { RatedSection } from '../view-models';
import { ranged, row, section } from './section';

const widthOf = ({ shares }: Ticked): number => {
  const values = shares.map(({ value }) => value);
  return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
};

/** The word that the verdict rests on: by how many it is ticked for each. Null where nothing is ticked. */
export function tickedSection({ ticked }: Ratings, plan: Plan): RatedSection | null {
  const primary = ticked?.find((one) => one.primary);
  if (!primary) return null;
  const { name, definition } = scaleIn(plan, primary.attribute);
  return section({
    id: 'ticked',
    heading: `“${name}”`,
    sentences: [...(definition === null ? [] : [definition]), ...againWords(primary)],
    charts: sharesChart(primary, plan),
    tables: [sharesTable([primary], plan), pairsTable([primary], plan)],
    note: 'A share is that of listeners, each counting once. Pairs by an exact test of who ticks it for one and not for the other.',
  });
}

/** Whether those who heard a sample again stayed with what they had said. */
function againWords({ again }: Ticked): string[] {
  const told = (when: string, one: { times: number; alike: number } | null | undefined) =>
    one ? [`${one.alike} of ${one.times} ${when}`] : [];
  const said = [...told('in the same sitting', again?.withinDay), ...told('on another day', again?.acrossDays)];
  return said.length === 0 ? [] : [`Heard again, a sample got the same answer about it: ${said.join(', ')}.`];
}

/** All other words. Null where there are none. */
export function otherWordsSection({ ticked = [] }: Ratings, plan: Plan): RatedSection | null {
  const others = ticked.filter(({ primary }) => !primary).toSorted((a, b) => widthOf(b) - widthOf(a));
  if (others.length === 0) return null;
  const liking = ticked.filter((one) => one.liking !== null);
  return section({
    id: 'words-ticked',
    heading: 'All the other words',
    sentences: [
      'A family of their own, corrected together by Holm: what they show is worth a study of its own, and gets no verdict here.',
    ],
    key: plan.prototypes.map(({ id }) => markedIn(plan)(id)),
    charts: wordsChart(others, plan),
    tables: [
      sharesTable(others, plan),
      pairsTable(others, plan),
      ...(liking.length === 0 ? [] : [likingTable(liking, plan)]),
    ],
    note: 'Whether prototypes differ at all: Cochran’s Q, over listeners who said of every prototype whether the word fits.',
  });
}

function sharesChart({ attribute, shares, pairs }: Ticked, plan: Plan): Chart[] {
  const [first] = shares;
  if (!first) return [];
  const byShare = shares.toSorted((a, b) => b.value - a.value).map(({ prototype }) => prototype);
  const groups = inseparable(byShare, pairs, plan.risks.alpha);
  const rows = shares.map(({ prototype, value, lower, upper }) => ({
    name: nameIn(plan)(prototype),
    value,
    lower: Math.max(0, lower),
    upper: Math.min(1, upper),
    place: placeIn(plan)(prototype),
  }));
  return [
    {
      svg: intervalChart(rows, {
        label: `Share of listeners who tick “${scaleIn(plan, attribute).name}”`,
        short: 'Share of listeners who tick it',
        mark: null,
        domain: [0, 1],
        percent: true,
        groups: placesOf(
          groups,
          shares.map(({ prototype }) => prototype),
        ),
      }),
      caption: `With ${chosenPercent(first.level)} intervals. They may overlap where a difference is sure: the table of pairs says how sure.${groupsCaption(groups, plan)}`,
    },
  ];
}

const step = 12;

/** A block a word, in it a line a prototype: its share and how sure it is. */
function wordsChart(words: readonly Ticked[], plan: Plan): Chart[] {
  const level = words.flatMap(({ shares }) => shares)[0]?.level;
  if (level === undefined) return [];
  const svg = twice('Share of listeners who tick each word', ({ narrow }) => {
    let y = 12;
    const rows = words.flatMap(({ attribute, shares }) => {
      const begin = y + (narrow ? 20 : 4);
      y = begin + Math.max(shares.length * step, 16) + 12;
      return [{ name: scaleIn(plan, attribute).name, begin, end: y - 12, shares }];
    });
    const marks = rows.flatMap(({ begin, shares }) =>
      shares.map(({ prototype, value, lower, upper }, i) => ({
        value,
        lower: Math.max(0, lower),
        upper: Math.min(1, upper),
        place: placeIn(plan)(prototype),
        y: begin + i * step + step / 2,
      })),
    );
    return {
      height: y + 44,
      marginLeft: narrow ? 14 : 200,
      marginRight: narrow ? 26 : 30,
      marginTop: 0,
      marginBottom: 44,
      x: {
        label: 'Share of listeners who tick it',
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [0, 1],
        ticks: narrow ? 3 : 5,
        tickFormat: '.0%',
      },
      y: { axis: null, domain: [y, 0] },
      marks: [
        Plot.gridX(narrow ? [0, 0.5, 1] : [0, 0.2, 0.4, 0.6, 0.8, 1], { className: 'chart-grid' }),
        Plot.text(rows, {
          ...(narrow
            ? { x: 0, textAnchor: 'start', dx: 0 }
            : { frameAnchor: 'left', textAnchor: 'end', dx: -12, lineWidth: 13.5 }),
          y: (one: (typeof rows)[number]) => (narrow ? one.begin - 8 : (one.begin + one.end) / 2),
          text: 'name',
        }),
        Plot.ruleY(marks, { x1: 'lower', x2: 'upper', y: 'y', strokeWidth: 1.5, className: 'chart-interval' }),
        ...marks.map((one) => Plot.dot([one], { x: 'value', y: 'y', ...markOptions(one.place, 5) })),
      ],
    } as Plot.PlotOptions;
  });
  return [
    {
      svg,
      caption: `Words by how far prototypes lie apart in them, the furthest first; symbols as above, with ${chosenPercent(level)} intervals.`,
    },
  ];
}

const sharesTable = (words: readonly Ticked[], plan: Plan) => ({
  caption: 'Share of listeners who tick it',
  of: 'Prototype',
  columns: ['Share', 'Interval'],
  groups: words.map(({ attribute, listeners, q, shares }) => ({
    heading: `${scaleIn(plan, attribute).name}: ${listeners} listeners; ${q === null ? 'ticked alike by everybody' : `Q ${decimals(q.q)}, ${q.degreesOfFreedom} df, p ${pWords(q.p)}`}`,
    rows: shares.map((one) =>
      row(nameIn(plan)(one.prototype), [percent(one.value), ranged(one, percent)], {
        mark: markedIn(plan)(one.prototype),
      }),
    ),
  })),
});

const pairsTable = (words: readonly Ticked[], plan: Plan) => ({
  caption: 'Pair by pair, in percentage points',
  of: 'Pair',
  columns: ['Points', 'Interval', 'p', 'p, Holm'],
  groups: words.map(({ attribute, primary, pairs }) => ({
    heading: scaleIn(plan, attribute).name,
    rows: pairs.map(({ first, second, difference, p, pAdjusted }) => {
      const points = (share: number) => decimals(share * 100, 0);
      return row(
        `${nameIn(plan)(first)} less ${nameIn(plan)(second)}`,
        [
          difference ? points(difference.value) : '–',
          difference ? ranged(difference, points) : '–',
          pWords(p),
          pWords(pAdjusted),
        ],
        { primary: primary && first === plan.primary.first && second === plan.primary.second },
      );
    }),
  })),
});

const likingTable = (words: readonly Ticked[], plan: Plan) => ({
  caption:
    'Liking where it is ticked, less where it isn’t, in points: it describes, and doesn’t say that one makes the other',
  of: 'Word',
  columns: ['Points', 'Interval', 'p', 'Listeners'],
  groups: [
    {
      heading: null,
      rows: words.flatMap(({ attribute, liking }) =>
        liking === null
          ? []
          : [
              row(scaleIn(plan, attribute).name, [
                liking.difference ? decimals(liking.difference.value) : '–',
                liking.difference ? ranged(liking.difference) : '–',
                pWords(liking.p),
                String(liking.listeners),
              ]),
            ],
      ),
    },
  ],
});
