import type { ListenersOf } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { pWords } from '../figures';
import { section } from '../rating/section';
import type { RatedSection } from '../view-models';
import { kindsOf } from '../yes-no/kinds';
import { listenerTable } from './listener-table';
import { noteSentences } from './right';
import { columnsOf, describes, heading, heardNote, named, ofWords, pSaid } from './words';

type Found = ListenersOf<'yes-no'>;
type Own = Found['listeners'][number];

/** Yes and no of each listener. The picture stands with the verdict, which has every listener in it. */
export function yesNoSection({ listeners, told, panelP, level }: Found, plan: Plan): RatedSection {
  const { yes, no, signalShort, noiseShort } = kindsOf(plan);
  const alone = listeners.filter(({ pAdjusted }) => pAdjusted <= level).map(({ listener }) => listener);
  const columns = columnsOf<Own>([
    { head: signalShort, cell: ({ hits, signalTrials }) => ofWords(hits, signalTrials) },
    { head: noiseShort, cell: ({ falseAlarms, noiseTrials }) => ofWords(falseAlarms, noiseTrials) },
    { head: 'Apart, d′', cell: ({ dPrime }) => (dPrime === null ? '–' : decimals(dPrime)) },
    { head: 'Leaning', cell: ({ criterion }) => (criterion === null ? '–' : decimals(criterion)) },
    { head: 'p', cell: ({ p }) => pWords(p) },
    { head: 'p, Holm', cell: ({ pAdjusted }) => pWords(pAdjusted) },
    {
      head: 'Known difference',
      shown: listeners.some(({ known }) => known),
      cell: ({ known }) => (known ? ofWords(known.right, known.trials) : '–'),
    },
    { head: 'Note', shown: listeners.some(({ note }) => note !== null), cell: ({ note }) => heardNote(note) },
  ]);
  return section({
    id: 'listeners',
    heading,
    sentences: [
      `How often each listener said ${yes}. The picture above has them all. ${describes}`,
      alone.length === 0
        ? 'Nobody is shown by own answers alone to tell the two kinds of trials apart.'
        : `By own answers alone ${named(alone, listeners.length)} ${alone.length === 1 ? 'tells' : 'tell'} the two kinds of trials apart.`,
      told
        ? `The panel as a whole does (${pSaid(panelP)}), so that single listeners are held against it.`
        : `The panel as a whole isn’t shown to (${pSaid(panelP)}), so that nobody is held against it.`,
      ...noteSentences(listeners),
    ],
    tables: [listenerTable(`How often ${yes} was said, listener by listener`, columns, listeners)],
    note: `Leaning: over 0 toward ${no}; a habit, and no fault. d′ and leaning with half an answer more in each cell. p: exact within own sittings, given how often ${yes} was said in each, then by Holm for ${listeners.length} listeners. A note is given at ${chosenPercent(level)} for all listeners together: of whose answers are less apart than the others’ (exact, whatever anybody leans to) and not shown to be apart, and of whose answers are apart the other way round.`,
    folded: listeners.every(({ note }) => note === null),
  });
}
