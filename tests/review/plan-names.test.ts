import { expect, test } from 'vitest';
import { shortNameIn } from '../../server/review/plan-names';
import { aPlan } from '../blinding/a-plan';

const shortOf = (...names: string[]) => {
  const plan = aPlan({ prototypes: names.length, names });
  return plan.prototypes.map(({ id }) => shortNameIn(plan)(id));
};

test('first words that all names share are left out, as long as something is left of each', () => {
  expect(shortOf('Fink 3 as sold', 'Fink 3 wide vent', 'Fink 3 soft damper')).toEqual([
    'as sold',
    'wide vent',
    'soft damper',
  ]);
  expect(shortOf('Fink 3', 'Fink 3 wide vent')).toEqual(['3', '3 wide vent']);
  expect(shortOf('Alder', 'Birch wood')).toEqual(['Alder', 'Birch wood']);
  expect(shortOf('Bore', 'Bore 2')).toEqual(['Bore', 'Bore 2']);
});
