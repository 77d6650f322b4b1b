import type { ListenersOf } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import { pWords } from '../figures';
import { section } from '../rating/section';
import type { RatedSection } from '../view-models';
import { dotsChart } from './chart';
import { listenerTable } from './listener-table';
import { type Column, columnsOf, describes, heading, heardNote, joined, named, noted, ofWords, pSaid } from './words';

type Found = ListenersOf<'right'>;
type Own = Found['listeners'][number];

/** Right answers of each listener, beside what guessing gives. */
export function rightSection(found: Found, plan: Plan): RatedSection {
  const { listeners, told, panelP, chance, level } = found;
  const alone = listeners.filter(({ pAdjusted }) => pAdjusted <= level).map(({ listener }) => listener);
  return section({
    id: 'listeners',
    heading,
    sentences: [
      `Right answers of each listener. ${describes} ${
        told
          ? `The panel as a whole is right more often than by guessing (${pSaid(panelP)}), so that single listeners are held against it.`
          : `The panel as a whole isn’t shown to be right more often than by guessing (${pSaid(panelP)}), so that nobody is held against it.`
      }`,
      [
        alone.length === 0
          ? 'Nobody is shown by own answers alone to be right more often than by guessing.'
          : `By own answers alone ${named(alone, listeners.length)} ${alone.length === 1 ? 'is' : 'are'} right more often than by guessing.`,
        ...unevenWords(found),
      ].join(' '),
      ...noteSentences(listeners),
    ],
    charts: [
      {
        svg: dotsChart(
          listeners.map((one) => ({
            listener: one.listener,
            value: one.correct / one.trials,
            lower: one.guessing.lower / one.trials,
            upper: one.guessing.upper / one.trials,
            noted: one.note !== null,
          })),
          {
            title: 'Share of right answers, listener by listener',
            label: 'Share of right answers',
            domain: [0, 1],
            percent: true,
            mark: { at: chance, words: `guessing ${chosenPercent(chance)}` },
          },
        ),
        caption:
          'Dot: share of right answers. Lines: where, or between which, 95 of 100 of those who guess would lie with as many trials.',
      },
    ],
    tables: [tableOf(found, plan)],
    note: `p: exact one-sided binomial of own answers, then by Holm for ${listeners.length} listeners: among many who guess, some look good by chance. A note is given at ${chosenPercent(level)} for all listeners together: of who is right less often than the others (Fisher’s exact test) and not shown to hear it, and of who is right less often than guessing gives.`,
    folded: listeners.every(({ note }) => note === null),
  });
}

function tableOf({ listeners }: Found, plan: Plan): RatedSection['tables'][number] {
  const numbers = [...new Set(listeners.flatMap(({ sessions }) => sessions.map((one) => one.sessionNumber)))].sort(
    (a, b) => a - b,
  );
  const columns = columnsOf<Own>([
    ...numbers.map(
      (number): Column<Own> => ({
        head: `Session ${number}`,
        shown: numbers.length > 1,
        cell: ({ sessions }) => {
          const own = sessions.find(({ sessionNumber }) => sessionNumber === number);
          return own ? ofWords(own.correct, own.trials) : '–';
        },
      }),
    ),
    { head: 'Right', cell: ({ correct, trials }) => ofWords(correct, trials) },
    { head: 'By guessing', cell: ({ guessing }) => `${guessing.lower} to ${guessing.upper}` },
    { head: 'p', cell: ({ p }) => pWords(p) },
    { head: 'p, Holm', cell: ({ pAdjusted }) => pWords(pAdjusted) },
    {
      head: 'Known difference',
      shown: plan.controls.knownDifference !== undefined && listeners.some(({ known }) => known),
      cell: ({ known }) => (known ? ofWords(known.right, known.trials) : '–'),
    },
    { head: 'Note', shown: listeners.some(({ note }) => note !== null), cell: ({ note }) => heardNote(note) },
  ]);
  return listenerTable('Right answers, listener by listener', columns, listeners);
}

/** Whether listeners differ; none where nothing tells. */
function unevenWords({ unevenP }: Found): string[] {
  if (unevenP === null) return [];
  if (unevenP === 1) return ['Listeners are no further apart than luck would set them if all heard it alike.'];
  return [`If all heard it alike, luck alone would set listeners as far apart, or further: ${pSaid(unevenP)}.`];
}

export function noteSentences(listeners: readonly Pick<Own, 'listener' | 'note'>[]): string[] {
  const [random, turned] = [noted(listeners, 'at-random'), noted(listeners, 'the-other-way')];
  return [
    ...(random.length === 0
      ? []
      : [
          `The answers of ${joined(random)} lie below those of the others, and may all be guesses: the difference is heard seldom or never there, or something was in the way.`,
        ]),
    ...(turned.length === 0
      ? []
      : [
          `${joined(turned)} answer${turned.length === 1 ? 's' : ''} the other way round oftener than guessing mostly would, as if the difference was heard and the question misread.`,
        ]),
  ];
}
