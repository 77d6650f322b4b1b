import { protocolOf } from '../../../protocols/index';
import { asksOneWay } from '../../../protocols/similarity';
import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chancePercent, chosenPercent } from '../../number-words';
import { about, pWords } from '../figures';
import type { DifferencePart } from '../view-models';
import { rightsChart } from './chart';

type SimilarityFindings = NonNullable<Difference['similarity']>;

/** What right answers have beside the figures of every verdict: guessing beside them, misses, and listener by listener. */
export function differencePart(result: Result, difference: Difference, plan: Plan): DifferencePart {
  const chance = protocolOf(plan.method.id).chance ?? 0;
  const { correct, trials, critical, misses, similarity } = difference;
  return {
    chart: rightsChart(difference, chance),
    counts:
      trials === 0
        ? []
        : [
            { label: 'Right answers', value: `${correct} of ${trials}` },
            { label: 'By guessing alone, on average', value: about(chance * trials) },
            ...(similarity
              ? limitRows(similarity, result, chance * trials, trials, plan)
              : [
                  { label: 'Needed to show the difference', value: critical === null ? '–' : String(critical) },
                  {
                    label: `So many right or more, by guessing alone (p${uncorrected(plan)})`,
                    // Of a plan with looks these are the figures beside: all answers, looked at once, at the end.
                    value: pWords(result.looks ? result.looks.fixed.p : result.p),
                  },
                ]),
          ],
    missesCaption: similarity
      ? 'How often so many trials don’t show similarity'
      : 'What so many trials miss, and how often',
    missedWords: similarity ? 'Not shown' : 'Missed',
    misses: misses.map(({ heard, miss }) => ({
      heard: chosenPercent(heard),
      // Where no count of right answers is enough, there is no luck in it.
      miss: critical === null && !similarity ? 'always' : chancePercent(miss),
      planned: Math.abs(heard - plan.risks.smallest.value) < 1e-9,
    })),
    decided: `${decidedWords(similarity)}${similarity && asksOneWay(plan) ? ' Heard the other way round it makes answers wrong: that is tried in the same way, and the larger p counts.' : ''}`,
    uneven: unevenWords(difference),
    ...byListener(difference),
  };
}

const uncorrected = (plan: Plan): string => (plan.audiences.length > 1 ? ', uncorrected' : '');

function limitRows(
  { limit, most }: SimilarityFindings,
  result: Result,
  guessed: number,
  trials: number,
  plan: Plan,
): DifferencePart['counts'] {
  return [
    {
      label: `Heard in ${chosenPercent(limit)} of trials, on average`,
      value: about(guessed + limit * (trials - guessed)),
    },
    { label: 'Shows similarity, at most', value: most === null ? '–' : String(most) },
    { label: `So few right or fewer, heard as often as the limit (p${uncorrected(plan)})`, value: pWords(result.p) },
  ];
}

/** What p is, under the tables. */
function decidedWords(similarity: SimilarityFindings | undefined): string {
  if (!similarity) {
    return 'p: exact one-sided binomial over all trials of this audience. If nobody hears anything, every trial is a guess of its own, whoever answers it.';
  }
  const limit = chosenPercent(similarity.limit);
  return similarity.by === 'exact-count'
    ? `p: exact one-sided binomial against a difference that is truly heard in ${limit} of trials; each listener answered once.`
    : `p: exact, against a panel of which each listener hears it always or never, ${limit} of them always (or, where few answer often, some now and then): of panels at the limit, the one that differs most. Many answers of few listeners don’t show what others hear.`;
}

/** Whether listeners differ, in one sentence; null where nothing tells. */
function unevenWords({ unevenP }: Difference): string | null {
  if (unevenP === null) return null;
  if (unevenP === 1) return 'Listeners are no further apart than luck would set them if all heard it alike.';
  const p = pWords(unevenP);
  return `If all heard it alike, luck alone would set listeners as far apart, or further: p ${p.startsWith('<') ? p : `= ${p}`}.`;
}

/** Rights by listener and session; a session without one is an empty cell. */
function byListener({ listeners }: Difference): Pick<DifferencePart, 'sessions' | 'listeners'> {
  const numbers = [
    ...new Set(listeners.flatMap(({ sessions }) => sessions.map(({ sessionNumber }) => sessionNumber))),
  ].sort((a, b) => a - b);
  const inOrder = listeners.toSorted((a, b) => a.listener.localeCompare(b.listener, 'en', { numeric: true }));
  return {
    sessions: numbers.map(String),
    listeners: inOrder.map(({ listener, correct, trials, sessions }) => ({
      listener,
      sessions: numbers.map((number) => {
        const own = sessions.find(({ sessionNumber }) => sessionNumber === number);
        return own ? `${own.correct} of ${own.trials}` : '–';
      }),
      all: `${correct} of ${trials}`,
    })),
  };
}
