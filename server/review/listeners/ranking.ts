import type { ListenersOf } from '../../../shared/findings-listeners';
import { decimals } from '../../number-words';
import { section } from '../rating/section';
import type { RatedSection } from '../view-models';
import { dotsChart } from './chart';
import { listenerTable } from './listener-table';
import { columnsOf, describes, heading } from './words';

type Found = ListenersOf<'ranking'>;
type Own = Found['listeners'][number];

/** How steadily each listener ranks. */
export function rankingSection({ listeners }: Found): RatedSection {
  const steady = listeners.flatMap(({ listener, ownTau }) =>
    ownTau === null ? [] : [{ listener, value: ownTau, noted: false }],
  );
  const columns = columnsOf<Own>([
    { head: 'Rankings', cell: ({ rankings }) => String(rankings) },
    {
      head: 'Own rankings alike, τ',
      shown: steady.length > 0,
      cell: ({ ownTau }) => (ownTau === null ? '–' : decimals(ownTau)),
    },
    {
      head: 'Put once more, τ',
      shown: listeners.some(({ again }) => again),
      cell: ({ again }) => (again ? decimals(again.tau) : '–'),
    },
    {
      head: 'Beside the others',
      shown: listeners.some(({ withOthers }) => withOthers !== null),
      cell: ({ withOthers }) => (withOthers === null ? '–' : decimals(withOthers)),
    },
  ]);
  return section({
    id: 'listeners',
    heading,
    sentences: [
      `How steadily each listener ranks. ${describes}`,
      'Beside the others: how own ranks go with the mean of theirs, from −1 to 1. It describes tastes and judges nobody.',
    ],
    charts:
      steady.length === 0
        ? []
        : [
            {
              svg: dotsChart(steady, {
                title: 'How alike own rankings are, listener by listener',
                label: 'Kendall’s τ between own rankings',
                domain: [-1, 1],
                mark: { at: 0, words: 'by chance' },
              }),
              caption:
                'Mean of Kendall’s τ over every two rankings of a listener: 1 is the same order, 0 what chance gives.',
            },
          ],
    tables: [listenerTable('Listener by listener', columns, listeners)],
    note: null,
    folded: true,
  });
}
