import { expect, test } from 'vitest';
import { criticalCount } from '../../stats/critical-count';
import { binomialPmf } from '../../stats/distributions';
import { power } from '../../stats/power';
import { proportionCorrect } from '../../stats/proportion-correct';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ trials: number[]; chance: number; pd: number; alpha: number }, { power: number[] }>;

test.each(references<Case[]>('power'))('$id', ({ inputs, expected, tolerance, id }) => {
  inputs.trials.forEach((trials, i) => {
    const got = power({ ...inputs, trials }).power;
    expectClose(got, expected.power[i] ?? Number.NaN, tolerance, `${id} ${trials}`);
  });
});

test('two-sided power counts both tails', () => {
  const { power: got, count } = power({ trials: 12, proportion: 0.8, alternative: 'two-sided' });
  expect(count).toBe(10);
  const direct = [0, 1, 2, 10, 11, 12].reduce((sum, k) => sum + binomialPmf(k, 12, 0.8), 0);
  expectClose(got, direct, { relative: 1e-11, absolute: 0 }, 'both tails');
});

test('at chance the power is the attained alpha', () => {
  for (const alternative of ['greater', 'less', 'two-sided'] as const) {
    const got = power({ trials: 25, chance: 1 / 3, proportion: 1 / 3, alternative });
    expect(got.power).toBe(got.attainedAlpha);
    expect(got.count).toBe(criticalCount({ trials: 25, chance: 1 / 3, alternative }).count);
  }
});

test('power grows with the difference', () => {
  const powers = [0, 0.1, 0.2, 0.4, 0.8, 1].map((pd) => power({ trials: 30, chance: 1 / 3, pd }).power);
  expect(powers).toEqual([...powers].sort((a, b) => a - b));
  expect(powers.at(-1)).toBe(1);
});

test('where nothing is significant there is no power', () => {
  expect(power({ trials: 3, pd: 1 })).toEqual({ power: 0, count: null, attainedAlpha: 0 });
});

test('d′ with its method tells the truth and the guessing chance', () => {
  const told = power({ trials: 60, dPrime: 1.5, method: 'tetrad' });
  const { proportion } = proportionCorrect({ method: 'tetrad', dPrime: 1.5 });
  expect(told).toEqual(power({ trials: 60, chance: 1 / 3, proportion }));
  // A chance written out is still the method's.
  expect(power({ trials: 60, dPrime: 1.5, method: 'tetrad', chance: 0.333333333 })).toEqual(told);
  expect(power({ trials: 60, dPrime: 0, method: 'duo-trio' }).power).toBe(criticalCount({ trials: 60 }).attainedAlpha);
});

test('one truth, and told whole', () => {
  const dPrime = { trials: 10, dPrime: 1, method: 'triangle' } as const;
  expectRefused(() => power({ trials: 10 }), 'missing', 'pd');
  expectRefused(() => power({ trials: 10, pd: 0.2, proportion: 0.6 }), 'inconsistent', 'pd');
  expectRefused(() => power({ ...dPrime, pd: 0.2 }), 'inconsistent', 'dPrime');
  expectRefused(() => power({ ...dPrime, proportion: 0.2 }), 'inconsistent', 'dPrime');
  expectRefused(() => power({ trials: 10, pd: 0.2, method: 'triangle' }), 'inconsistent', 'method');
  expectRefused(() => power({ trials: 10, method: 'triangle' }), 'missing', 'dPrime');
  expectRefused(() => power({ trials: 10, dPrime: 1 }), 'missing', 'method');
  expectRefused(() => power({ ...dPrime, chance: 0.5 }), 'inconsistent', 'chance');
  expectRefused(() => power({ ...dPrime, chance: 0.333 }), 'inconsistent', 'chance');
  expectRefused(() => power({ ...dPrime, chance: 1 }), 'out-of-range', 'chance');
  expectRefused(() => power({ ...dPrime, dPrime: -1 }), 'out-of-range', 'dPrime');
  expectRefused(() => power({ ...dPrime, dPrime: Number.POSITIVE_INFINITY }), 'wrong-type', 'dPrime');
  // @ts-expect-error no such method
  expectRefused(() => power({ ...dPrime, method: 'trangle' }), 'unknown-choice', 'method');
  // @ts-expect-error misspelt
  expectRefused(() => power({ trials: 10, pd: 0.2, dprime: 1 }), 'unknown-option', 'dprime');
});
