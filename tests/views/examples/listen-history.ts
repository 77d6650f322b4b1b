import type { HistoryPage } from '../../../server/listen/view-models';
import { words } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import { csrf } from './branded';
import type { ViewExamples } from './examples';

const page = (studies: HistoryPage['studies']): HistoryPage => ({
  title: words['history.title'],
  csrf,
  problems: [],
  studies,
});
const sittings = (done: number, all: number) => say('history.sittings', { done, all });
const middle = (count: number) => say('history.middle.share', { count });

export default {
  view: 'listen/history',
  layout: 'phone',
  examples: [
    {
      name: 'several',
      model: page([
        { days: '2 Mar 2026', sittings: sittings(1, 4), state: words['history.sealed'], lines: [] },
        {
          days: '9 Feb 2026 to 20 Feb 2026',
          sittings: sittings(3, 3),
          state: null,
          lines: [`${say('history.same', { all: 6, done: 5 })} ${middle(67)}`],
        },
        {
          days: '12 Jan 2026',
          sittings: sittings(1, 1),
          state: null,
          lines: [
            `${say('history.right', { done: 14, all: 20, count: 10 })} ${middle(65)}`,
            `${say('history.known', { done: 4, all: 4 })} ${words['history.few.beside']}`,
          ],
        },
        {
          days: '1 Dec 2025 to 5 Dec 2025',
          sittings: sittings(2, 2),
          state: null,
          lines: [
            `${say('history.points', { points: '0.8' })} ${say('history.middle.points', { points: '0.9' })}`,
            `${say('history.order', { count: 83 })} ${middle(75)}`,
          ],
        },
        { days: '3 Nov 2025', sittings: sittings(1, 1), state: words['history.working'], lines: [] },
        { days: '6 Oct 2025', sittings: sittings(1, 1), state: words['history.few'], lines: [] },
      ]),
    },
    { name: 'none', model: page([]) },
  ],
} satisfies ViewExamples;
