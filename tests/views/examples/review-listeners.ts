import type { ListenersPage } from '../../../server/review/listeners/view-models';
import { frame, type ViewExamples } from '../staff/frame';
import { listener } from './branded';

type Person = ListenersPage['people'][number];
const person = (number: number, alias: string, more: Partial<Person> = {}): Person => ({
  url: `/listeners/${listener(number)}`,
  alias,
  studies: 2,
  sittings: 5,
  last: '2026-02-20',
  missed: 0,
  same: '9 of 12',
  known: '–',
  right: '14 of 20',
  ...more,
});
const page = (people: Person[], working = 0): ListenersPage => ({
  ...frame('Listeners', null),
  working,
  people,
  fewest: 4,
});

const examples: ViewExamples<ListenersPage> = {
  view: 'review/listeners',
  layout: 'staff',
  examples: [
    {
      name: 'some',
      model: page([
        person(1, 'Heron', { known: '7 of 8' }),
        person(2, 'Juniper', { missed: 2, sittings: 3, right: '–' }),
        person(3, 'The one who always sits in the far corner', {
          studies: 1,
          sittings: 0,
          last: '',
          same: '–',
          right: '–',
        }),
      ]),
    },
    { name: 'working', model: page([person(1, 'Heron', { same: '–', right: '–' })], 1) },
    { name: 'nobody', model: page([]) },
  ],
};
export default examples;
