import type { ListenersOf, RatedListeners } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import type { Chart } from '../chart';
import { pWords } from '../figures';
import { row, section, table } from '../rating/section';
import { scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { dotsChart, spotsChart } from './chart';
import { listenerTable } from './listener-table';
import { columnsOf, describes, joined, noted, noteWords, ofWords, pSaid } from './words';

type Found = ListenersOf<'rating'>;
type Own = RatedListeners['listeners'][number];

const dash = (value: number | null | undefined): string =>
  value === null || value === undefined ? '–' : decimals(value);

/** How each listener rates, on the scale of the verdict and on others that the panel tells samples apart by. */
export function ratingSection(found: Found, plan: Plan): RatedSection[] {
  const { scales, notTold, ticked, again, identical } = found;
  if (scales.length === 0 && !ticked) return [];
  const name = (scale: string) => `“${scaleIn(plan, scale).name}”`;
  const others = [
    ...new Set([
      ...scales.flatMap(({ listeners }) => listeners.map(({ listener }) => listener)),
      ...(ticked?.listeners ?? []).map(({ listener }) => listener),
    ]),
  ];
  const beside = columnsOf<string>([
    {
      head: 'Put once more, apart',
      shown: again.length > 0,
      cell: (who) => dash(again.find(({ listener }) => listener === who)?.apart),
    },
    {
      head: 'One sample twice: the second',
      shown: identical.length > 0,
      cell: (who) => dash(identical.find(({ listener }) => listener === who)?.mean),
    },
  ]);
  return [
    section({
      id: 'listeners',
      heading: 'Who rates how',
      sentences: [
        `How steadily each listener rates. ${describes}`,
        ...scales.map((one) => panelWords(one, plan)),
        ...(notTold.length === 0
          ? []
          : [
              `By ${joined(notTold.map(name))} the panel as a whole tells nothing apart: nobody is judged by ${notTold.length === 1 ? 'it' : 'them'}, and no figures are given.`,
            ]),
        ...scales.flatMap((one) => noteSentences(one, plan)),
        ...(ticked
          ? [
              `Of the words, ${joined(ticked.words.map(name))} tell${ticked.words.length === 1 ? 's' : ''} prototypes apart; others don’t count here.`,
            ]
          : []),
      ],
      charts: scales.filter(({ primary }) => primary).flatMap((one) => chartOf(one, plan)),
      tables: [
        ...scales.map((one) => tableOf(one, plan)),
        ...(ticked ? [ticksTable(ticked)] : []),
        ...(beside.length === 0
          ? []
          : [
              table(
                'Control trials, listener by listener',
                'Listener',
                beside.map(({ head }) => head),
                others.map((who) =>
                  row(
                    who,
                    beside.map(({ cell }) => cell(who)),
                  ),
                ),
              ),
            ]),
      ],
      note: noteOf(found, plan),
      folded: scales.every(({ listeners }) => listeners.every(({ note }) => note === null)),
    }),
  ];
}

function panelWords({ scale, by, panelP, told, taste }: RatedListeners, plan: Plan): string {
  const on = `On the scale “${scaleIn(plan, scale).name}”`;
  const how = by === 'blocks' ? 'F over blocks of listeners' : 'the smallest corrected p of a comparison';
  const whether = told
    ? `${on} the panel as a whole tells prototypes apart (${how}, ${pSaid(panelP)}).`
    : `${on} the panel as a whole isn’t shown to tell prototypes apart${panelP === null ? '' : ` (${how}, ${pSaid(panelP)})`}: nobody is judged by it, and the figures only show how alike a listener rates the same sample.`;
  return taste
    ? `${whether} It asks for a taste, so that nobody is held against the others: one’s own is no mistake.`
    : whether;
}

function noteSentences({ scale, listeners }: RatedListeners, plan: Plan): string[] {
  const [random, turned] = [noted(listeners, 'at-random'), noted(listeners, 'the-other-way')];
  const on = ` on the scale “${scaleIn(plan, scale).name}”`;
  return [
    ...(random.length === 0
      ? []
      : [
          `Where the panel tells prototypes apart${on}, the ratings of ${joined(random)} aren’t shown to: they lie off the others’, and may all be chance.`,
        ]),
    ...(turned.length === 0
      ? []
      : [
          `${joined(turned)} rate${turned.length === 1 ? 's' : ''} the other way round than the others${on}: heard otherwise, a scale that was misread, or chance.`,
        ]),
  ];
}

/** Repeats across, agreement upwards; where one of them is not to be had, the other alone. */
function chartOf({ listeners, scale }: RatedListeners, plan: Plan): Chart[] {
  const shown = scaleIn(plan, scale);
  const both = listeners.flatMap(({ listener, repeatabilitySd: x, agreement: y, note }) =>
    x === null || typeof y !== 'number' ? [] : [{ listener, x, y, noted: note !== null }],
  );
  const widest = (values: readonly number[]) => Math.max(0.1, ...values) * 1.08;
  if (both.length >= 3) {
    return [
      {
        svg: spotsChart(both, {
          title: `How alike listeners rate the same sample, and how they agree with the others, on “${shown.name}”`,
          x: 'Repeats to within (SD, points): steadier to the left',
          short: 'Repeats to within (SD, points)',
          y: 'Agrees with the others',
          xFrom: 0,
          xTo: widest(both.map(({ x }) => x)),
        }),
        caption: `A dot is a listener, the number that of the audience. Lines: medians of the panel. Agreement: correlation with the mean of the others, from −1 to 1.${both.length > 16 ? ' Numbered: those at the ends, and those noted.' : ' Where there is no room for a number the table has it.'}`,
      },
    ];
  }
  const steady = listeners.flatMap(({ listener, repeatabilitySd, note }) =>
    repeatabilitySd === null ? [] : [{ listener, value: repeatabilitySd, noted: note !== null }],
  );
  if (steady.length >= 2) {
    return [
      {
        svg: dotsChart(steady, {
          title: `How alike listeners rate the same sample, on “${shown.name}”`,
          label: 'Repeats to within (SD, points)',
          domain: [0, widest(steady.map(({ value }) => value))],
        }),
        caption: 'Standard deviation of ratings of the same sample, in points of the scale: steadier to the left.',
      },
    ];
  }
  const agreeing = listeners.flatMap(({ listener, agreement, note }) =>
    typeof agreement === 'number' ? [{ listener, value: agreement, noted: note !== null }] : [],
  );
  if (agreeing.length < 3) return [];
  return [
    {
      svg: dotsChart(agreeing, {
        title: `How listeners agree with the others, on “${shown.name}”`,
        label: 'Correlation with the mean of the others',
        domain: [-1, 1],
        mark: { at: 0, words: 'none' },
      }),
      caption: 'Correlation of own ratings with the mean of the others, from −1 to 1.',
    },
  ];
}

function tableOf({ scale, listeners, of }: RatedListeners, plan: Plan): RatedSection['tables'][number] {
  const some = (is: (one: Own) => unknown) => listeners.some((one) => is(one) !== null && is(one) !== undefined);
  const days = some(({ withinSd }) => withinSd) && some(({ acrossSd }) => acrossSd);
  const columns = columnsOf<Own>([
    { head: of === 'pairs' ? 'Comparisons' : 'Ratings', cell: ({ ratings }) => String(ratings) },
    {
      head: 'Tells apart, p',
      shown: some(({ discriminationP }) => discriminationP),
      cell: ({ discriminationP }) => pWords(discriminationP),
    },
    {
      head: 'Repeats to within (SD)',
      shown: some(({ repeatabilitySd }) => repeatabilitySd),
      cell: ({ repeatabilitySd }) => dash(repeatabilitySd),
    },
    { head: 'the same day', shown: days, cell: ({ withinSd }) => dash(withinSd) },
    { head: 'day to day', shown: days, cell: ({ acrossSd }) => dash(acrossSd) },
    {
      head: 'Agrees with the others',
      shown: some(({ agreement }) => agreement),
      cell: ({ agreement }) => dash(agreement),
    },
    {
      head: 'Level beside the panel',
      shown: of !== 'pairs',
      cell: ({ bias }) => `${bias > 0 ? '+' : ''}${decimals(bias)}`,
    },
    { head: 'Uses', cell: ({ lowest, highest }) => `${decimals(lowest, 0)} to ${decimals(highest, 0)}` },
    { head: 'Note', shown: some(({ note }) => note), cell: ({ note }) => noteWords(note) },
  ]);
  return listenerTable(`Listener by listener, “${scaleIn(plan, scale).name}”`, columns, listeners);
}

function ticksTable({ listeners }: NonNullable<Found['ticked']>): RatedSection['tables'][number] {
  return table(
    'Ticks, listener by listener',
    'Listener',
    ['Ticked', 'Heard again, said alike', 'κ'],
    listeners.map(({ listener, ticks, asked, repeated, alike, kappa }) =>
      row(listener, [ofWords(ticks, asked), repeated === 0 ? '–' : ofWords(alike, repeated), dash(kappa)]),
    ),
  );
}

function noteOf({ scales, ticked }: Found, plan: Plan): string {
  const judged = scales.some(({ told, by }) => told && by === 'blocks');
  return [
    scales.length > 0
      ? 'Repeats: standard deviation of ratings of the same sample, in points of the scale. Level: how much higher own ratings are than the panel’s. Uses: the lowest and the highest place that was used.'
      : '',
    judged ? 'Tells apart: F test of own ratings, which takes samples that were rated more than once.' : '',
    judged && scales.some(({ taste }) => !taste)
      ? `Agrees: correlation with the mean of the others, from −1 to 1. Notes take a test against the spread among the others, at ${chosenPercent(plan.risks.alpha)} for all listeners together.`
      : '',
    ticked ? 'κ: how far what was said again is alike, chance taken off; 1 is the same throughout.' : '',
  ]
    .filter(Boolean)
    .join(' ');
}
