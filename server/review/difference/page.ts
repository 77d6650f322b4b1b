import { protocolOf } from '../../../protocols/index';
import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chancePercent, chosenPercent } from '../../number-words';
import { about, pWords } from '../figures';
import type { DifferencePart } from '../view-models';
import { rightsChart } from './chart';

/** What right answers have beside the figures of every verdict: guessing beside them, misses, and listener by listener. */
export function differencePart(result: Result, difference: Difference, plan: Plan): DifferencePart {
  const chance = protocolOf(plan.method.id).chance ?? 0;
  const { correct, trials, critical, misses } = difference;
  return {
    chart: rightsChart(difference, chance),
    counts:
      trials === 0
        ? []
        : [
            { label: 'Right answers', value: `${correct} of ${trials}` },
            { label: 'By guessing alone, on average', value: about(chance * trials) },
            { label: 'Needed to show the difference', value: critical === null ? '–' : String(critical) },
            {
              label: `So many right or more, by guessing alone (p${plan.audiences.length > 1 ? ', uncorrected' : ''})`,
              value: pWords(result.p),
            },
          ],
    misses: misses.map(({ heard, miss }) => ({
      heard: chosenPercent(heard),
      // Where no count of right answers is enough, there is no luck in it.
      miss: critical === null ? 'always' : chancePercent(miss),
      planned: Math.abs(heard - plan.risks.smallest.value) < 1e-9,
    })),
    uneven: unevenWords(difference),
    ...byListener(difference),
  };
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
