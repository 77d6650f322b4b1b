import { comparedIn } from '../../../protocols/controls';
import type { ListenersOf } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { percent } from '../../number-words';
import { section } from '../rating/section';
import type { RatedSection } from '../view-models';
import { dotsChart } from './chart';
import { listenerTable } from './listener-table';
import { columnsOf, describes, heading, ofWords } from './words';

type Found = ListenersOf<'preference'>;
type Own = Found['listeners'][number];

/** How steadily each listener chooses. Nobody is held against the others. */
export function preferenceSection({ listeners }: Found, plan: Plan): RatedSection {
  const again = listeners.filter(({ cameAgain }) => cameAgain > 0);
  const some = (is: (one: Own) => unknown) => listeners.some(is);
  const columns = columnsOf<Own>([
    {
      head: 'Same pair again alike',
      shown: again.length > 0,
      cell: ({ cameAgain, alikeAgain }) => (cameAgain === 0 ? '–' : ofWords(alikeAgain, cameAgain)),
    },
    {
      head: 'Put once more, alike',
      shown: some((one) => one.again),
      cell: (one) => (one.again ? ofWords(one.again.same, one.again.trials) : '–'),
    },
    {
      head: 'Circular triads',
      shown: comparedIn(plan).length > 2,
      cell: ({ circularTriads }) => (circularTriads ? ofWords(circularTriads.triads, circularTriads.maximum) : '–'),
    },
    {
      head: 'So few by chance',
      shown: some(({ circularTriads }) => circularTriads),
      cell: ({ circularTriads }) => (circularTriads ? percent(circularTriads.p) : '–'),
    },
    { head: 'Heard first chosen', cell: ({ first, second }) => ofWords(first, first + second) },
    { head: 'No preference', shown: plan.noPreference.offered, cell: ({ none, trials }) => ofWords(none, trials) },
    {
      head: 'One sample twice: first, second',
      shown: some(({ identical }) => identical),
      cell: ({ identical }) => (identical ? `${identical.first}, ${identical.second}` : '–'),
    },
    {
      head: 'No preference there',
      shown: plan.noPreference.offered && some(({ identical }) => identical),
      cell: ({ identical }) => (identical ? String(identical.none) : '–'),
    },
    {
      head: 'Known difference chosen',
      shown: some(({ chosen }) => chosen),
      cell: ({ chosen }) => (chosen ? ofWords(chosen.known, chosen.known + chosen.other + chosen.none) : '–'),
    },
  ]);
  return section({
    id: 'listeners',
    heading,
    sentences: [
      `How steadily each listener chooses. ${describes}`,
      'Nobody is held against the others: a taste of one’s own is no mistake.',
      ...(again.length === 0 ? ['No pair was decided twice by anybody.'] : []),
    ],
    charts:
      again.length === 0
        ? []
        : [
            {
              svg: dotsChart(
                again.map(({ listener, cameAgain, alikeAgain }) => ({
                  listener,
                  value: alikeAgain / cameAgain,
                  noted: false,
                })),
                {
                  title: 'Pairs that came again and went the same way, listener by listener',
                  label: 'Share decided as the time before',
                  domain: [0, 1],
                  percent: true,
                  mark: { at: 0.5, words: 'a coin 50\u00a0%' },
                },
              ),
              caption: 'Each preference beside the one before it for the same pair, where there was one both times.',
            },
          ],
    tables: [listenerTable('Listener by listener', columns, listeners)],
    note:
      comparedIn(plan).length > 2
        ? 'Circular triads: one over a second, the second over a third, yet the third over the first; of at most so many. So few by chance: how often a coin gives so few or fewer.'
        : null,
    folded: true,
  });
}
