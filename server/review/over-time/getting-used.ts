import type { HabituationFindings } from '../../../shared/findings';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { listeners, pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import { habituationPart } from '../rating/habituation';
import { measureOf } from '../rating/measure';
import { row, section, table } from '../rating/section';
import type { RatedSection, RatedTable } from '../view-models';
import { prototypesChart } from './prototypes-chart';
import { capital, figureChart } from './sittings-chart';
import { type FigureWords, figureWords, intervalWords, rangeWords } from './words';

type Again = NonNullable<OverTimeFindings['again']>;

const wordWords = { drifting: 'Drifting', stable: 'Stable', unknown: 'Not known' } as const;

/** First contact and repeats, in a word, a picture and its figures. Null where nobody sat twice. */
export function gettingUsed(
  found: OverTimeFindings,
  plan: Plan,
  habituation: HabituationFindings | null,
): RatedSection | null {
  const { again, days } = found;
  if (again === null) return null;
  const words = figureWords(found, plan);
  const ratings = habituation && habituationPart(habituation, plan);
  const prototypes = prototypesChart(found, plan);
  const charts = [figureChart(found, plan), ratings ? (prototypes ?? ratings.chart) : null];
  return section({
    id: 'over-time',
    heading: 'Over the sittings: getting used to it',
    sentences: [
      `${wordWords[again.word]}. ${movedWords(again, found, words, plan)}`,
      changeWords(again, words, plan),
      ...(days ? [daysWords(days, words)] : []),
      ...(ratings ? [`The ratings themselves. ${ratings.heading}. ${ratings.sentence}`] : []),
    ],
    charts: charts.filter((chart) => chart !== null),
    tables: [
      sittingsTable(found, again, words),
      ...(found.prototypes ? [prototypesTable(found.prototypes, habituation, plan)] : []),
      ...daysTable(found, words),
      ...(ratings ? repeatedTable(ratings.repeatability) : []),
    ],
    note: 'The listener is the unit throughout. This tells what time and habit did, and decides nothing: a level or a room that differed between sessions looks the same here.',
  });
}

/** What the slope on hearings shows. */
function movedWords(
  { slope, word, doublings }: Again,
  found: OverTimeFindings,
  words: FigureWords,
  plan: Plan,
): string {
  const { estimate } = slope;
  if (estimate === null) {
    return slope.listeners < 2
      ? `Too few heard the samples so much oftener that it could be told whether ${words.figure} moves.`
      : `All ${slope.listeners} listeners moved alike, or not at all. Without a spread between them it can’t be told how sure that is.`;
  }
  const rate = `${words.change(estimate.value)} ${words.unit} each time that the samples had been heard twice as often${intervalWords(estimate, words.change)}`;
  const margin = `${marginWords(found, words, plan)}, the smallest worth finding,`;
  const over = `from the first planned sitting to the last, in which hearings double ${timesWords(Number(doublings.toFixed(1)))}`;
  if (word === 'drifting')
    return `${capital(words.figure)} moves with hearing: ${rate}; p\u00a0${pWords(slope.pAdjusted)}${correctedWords(plan)}.`;
  if (word === 'stable') return `${capital(words.figure)} moves by less than ${margin} ${over}: ${rate}.`;
  return `The data show neither that ${words.figure} moves with hearing, nor that it moves by less than ${margin} ${over}. Best guess: ${rate}; p\u00a0${pWords(slope.pAdjusted)}${correctedWords(plan)}.`;
}

/** The same for page one. */
export function lastsWords(found: OverTimeFindings, word: Again['word'], plan: Plan): string {
  const words = figureWords(found, plan);
  switch (word) {
    case 'drifting':
      return 'With hearing, the result moves: see “Over the sittings”.';
    case 'stable':
      return `With hearing, the result moves by less than ${marginWords(found, words, plan)} from the first planned sitting to the last.`;
    case 'unknown':
      return 'Whether the result moves with hearing can’t be told.';
  }
}

const timesWords = (times: number): string => (times === 1 ? 'once' : times === 2 ? 'twice' : `${times} times`);

const marginWords = ({ margin, of }: OverTimeFindings, { change, unit }: FigureWords, plan: Plan): string =>
  of === 'points' ? measureOf(plan).amount(margin) : `${change(margin).replace('+', '')} ${unit}`;

const correctedWords = ({ audiences }: Plan): string =>
  audiences.filter(({ id }) => id !== '*').length > 1 ? ', corrected over the audiences' : '';

function changeWords({ first, later, change, listeners: count }: Again, words: FigureWords, plan: Plan): string {
  const means = `Of the ${listeners(count)} who sat more than once, at first contact ${words.value(first.value)}${intervalWords(first, words.value)}, after repeats ${words.value(later.value)}${intervalWords(later, words.value)}`;
  const { estimate, pAdjusted } = change;
  const moved =
    estimate === null
      ? ''
      : ` The change is ${words.change(estimate.value)} ${words.unit}${intervalWords(estimate, words.change)}, p\u00a0${pWords(pAdjusted)}${correctedWords(plan)}.`;
  return `${means}.${moved}`;
}

function daysWords({ from, to, counted, others }: NonNullable<OverTimeFindings['days']>, words: FigureWords): string {
  const which = from === to ? `sitting ${from} of each listener` : `sittings ${from} to ${to} of each listener`;
  const mean = (one: typeof counted) =>
    one ? `${words.value(one.value)}${intervalWords(one, words.value)}` : 'none there';
  return `By the plan the verdict counts ${which}: ${mean(counted)}. The others are told here and never put together with them: ${mean(others)}.`;
}

function sittingsTable({ sittings, days }: OverTimeFindings, again: Again, words: FigureWords): RatedTable {
  const counts = (sitting: number) => !days || (sitting >= days.from && sitting <= days.to);
  const { first, later, change, slope } = again;
  const level = chosenPercent(first.level);
  const rows = sittings.map((one) =>
    row(`Sitting\u00a0${one.sitting}${counts(one.sitting) ? '' : ', doesn’t count'}`, [
      words.value(one.value),
      rangeWords(one, words.value),
      String(one.listeners),
      '–',
    ]),
  );
  return {
    caption: `From sitting to sitting: ${words.counted}`,
    of: 'Sitting',
    columns: ['Mean', `${level} interval`, 'Listeners', 'p, corrected'],
    groups: [
      { heading: null, rows },
      {
        heading: 'Of those who sat more than once',
        rows: [
          row('First contact', [
            words.value(first.value),
            rangeWords(first, words.value),
            String(first.listeners),
            '–',
          ]),
          row('After repeats', [
            words.value(later.value),
            rangeWords(later, words.value),
            String(later.listeners),
            '–',
          ]),
          row('Change', [
            change.estimate ? words.change(change.estimate.value) : '–',
            rangeWords(change.estimate, words.change),
            String(again.listeners),
            pWords(change.pAdjusted),
          ]),
          row('Each time heard twice as often', [
            slope.estimate ? words.change(slope.estimate.value) : '–',
            rangeWords(slope.estimate, words.change),
            String(slope.listeners),
            pWords(slope.pAdjusted),
          ]),
        ],
      },
    ],
  };
}

function prototypesTable(
  prototypes: NonNullable<OverTimeFindings['prototypes']>,
  habituation: HabituationFindings | null,
  plan: Plan,
): RatedTable {
  const signed = (value: number) => (value > 0 ? `+${decimals(value)}` : decimals(value));
  const estimated = (one: { value: number; lower: number; upper: number } | null | undefined) =>
    one ? `${signed(one.value)} (${rangeWords(one, signed)})` : '–';
  return table(
    'Each prototype’s own ratings, and how they moved',
    'Prototype',
    ['First sitting', 'Later less first', 'Each time heard twice as often', 'p, corrected'],
    [
      ...prototypes.map(({ prototype, slope, pAdjusted }) => {
        const first = habituation?.sittings.find((one) => one.sitting === 1 && one.prototype === prototype);
        const later = habituation?.firstAgainstLater.find((one) => one.prototype === prototype);
        return row(
          nameIn(plan)(prototype),
          [first ? decimals(first.mean) : '–', estimated(later?.difference), estimated(slope), pWords(pAdjusted)],
          { mark: markedIn(plan)(prototype) },
        );
      }),
      ...(habituation?.firstAgainstLater ?? [])
        .filter(({ prototype }) => prototype === null)
        .map(({ difference }) => row('All together', ['–', estimated(difference), '–', '–'])),
    ],
  );
}

/** How much one listener's answers about the same thing vary within a day, and what days add. */
function daysTable({ dayToDay, of }: OverTimeFindings, words: FigureWords): RatedTable[] {
  if (dayToDay === null) return [];
  const { withinDay, betweenDays, share, answers, days, listeners: count } = dayToDay;
  const spread = (variance: number) =>
    of === 'points' ? decimals(Math.sqrt(variance)) : words.change(Math.sqrt(variance)).replace('+', '');
  return [
    {
      caption: `One listener about the same thing: spread (standard deviation) of single answers, in ${words.unit}`,
      of: 'From',
      columns: ['Spread', 'Share of the variance'],
      groups: [
        {
          heading: `${answers} answers of ${listeners(count)}, on ${days} days counted listener by listener and thing by thing`,
          rows: [
            row('answer to answer, within a day', [
              spread(withinDay),
              share === null ? '–' : chosenPercent(Number((1 - share).toFixed(2))),
            ]),
            row('day to day, beside that', [
              spread(betweenDays),
              share === null ? '–' : chosenPercent(Number(share.toFixed(2))),
            ]),
          ],
        },
      ],
    },
  ];
}

const repeatedTable = (
  repeatability: readonly { when: string; pairs: string; icc: string; limits: string }[],
): RatedTable[] =>
  repeatability.length === 0
    ? []
    : [
        table(
          'The same listener, the same sample again',
          'Rated again',
          ['Pairs', 'ICC', '95 % of second less first'],
          repeatability.map(({ when, pairs, icc, limits }) => row(when, [pairs, icc, limits])),
        ),
      ];
