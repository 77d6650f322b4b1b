import { expect, test } from 'vitest';
import { audienceVerdicts } from '../../../server/review/audience-verdicts';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { findingsOfRandom } from '../a-result';

const wish: PlanWish = {
  method: 'abx',
  prototypes: 3,
  units: 2,
  trials: 2,
  controls: { knownDifference: { trials: 1, prototype: 'proto-c' }, units: 4 },
  audiences: [['home', 6]],
};

test('a control that is left out by a rule of the plan is in no count', () => {
  const plan = aPlan({ ...wish, exclusions: ['marked'] });
  const all = findingsOfRandom(plan, { seed: 3 });
  expect([all.flow.trials.controls, ...(all.controls ?? []).map(({ trials }) => trials)]).toEqual([30, 6, 24]);
  const none = findingsOfRandom(plan, { seed: 3, marked: 1 });
  expect([none.flow.trials.controls, ...(none.controls ?? []).map(({ trials }) => trials)]).toEqual([0, 0, 0]);
});

test('units that are told apart are warned of in every result, in words', () => {
  const plan = aPlan(wish);
  const found = findingsOfRandom(plan, { seed: 2 });
  const units = found.controls?.find(({ kind }) => kind === 'units');
  const told = units?.measure === 'right' && units.p !== null && units.p <= 0.05;
  expect(
    found.results.every(({ warnings }) => warnings.some((one) => one.startsWith('units-told-apart')) === told),
  ).toBe(true);
  const results = found.results.map((one) => ({ ...one, warnings: ['units-told-apart:20:24', 'units-preferred:1:2'] }));
  expect(audienceVerdicts({ ...found, results }, plan)[0]?.warnings).toEqual(
    expect.arrayContaining([
      expect.stringMatching(
        /^Units of one prototype can be told apart: 20 of 24 answers .* may be one between units\.$/,
      ),
      expect.stringMatching(/^Units of one prototype aren’t liked alike: 1 pair of 2 show a preference\./),
    ]),
  );
});
