import { figuresWords } from '../../../server/review/listeners/history-words';
import type { ListenerPage } from '../../../server/review/listeners/view-models';
import { base, frame, type ViewExamples } from '../staff/frame';

type Study = ListenerPage['studies'][number];
const study = (title: string, more: Partial<Study>): Study => ({
  url: base,
  title,
  state: 'Signed',
  audience: 'Home',
  sittings: '3 of 3',
  days: '2026-02-09 to 2026-02-20',
  missed: '0',
  figures: [],
  ...more,
});
const page = (studies: Study[], working = 0): ListenerPage => ({
  ...frame('Heron', null),
  alias: 'Heron',
  working,
  studies,
});

const examples: ViewExamples<ListenerPage> = {
  view: 'review/listener',
  layout: 'staff',
  examples: [
    {
      name: 'several',
      model: page([
        study('Vent, third round', {
          state: 'Running',
          sittings: '1 of 4',
          days: '2026-03-02',
          missed: '1',
          figures: figuresWords('sealed'),
        }),
        study('Vent and damper, second round', {
          figures: figuresWords([{ what: 'same', done: 5, all: 6, middle: 0.67 }]),
        }),
        study('Can anyone hear the coating?', {
          sittings: '1 of 1',
          days: '2026-01-12',
          figures: figuresWords([
            { what: 'right', done: 14, all: 20, guessed: 10, middle: 0.65 },
            { what: 'known', done: 4, all: 4, middle: null },
          ]),
        }),
        study('Bass shelf, profiles', {
          figures: figuresWords([
            { what: 'points', value: 0.81, all: 24, middle: 0.9 },
            { what: 'order', value: 0.83, all: 4, middle: 0.75 },
          ]),
        }),
        study('First try', { sittings: '0 of 1', days: '–', figures: figuresWords([]) }),
      ]),
    },
    { name: 'working', model: page([study('Vent', { figures: figuresWords('working') })], 1) },
  ],
};
export default examples;
