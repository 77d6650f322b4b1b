import { expect, test } from 'vitest';
import { criticalCount } from '../../stats/critical-count';
import { binomialPmf } from '../../stats/distributions';
import { power } from '../../stats/power';
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

test('one of pd and proportion; d′ is not available yet and says so', () => {
  expectRefused(() => power({ trials: 10 }), 'missing', 'pd');
  expectRefused(() => power({ trials: 10, pd: 0.2, proportion: 0.6 }), 'inconsistent', 'pd');
  const input = { trials: 10, dPrime: 1, method: 'triangle' };
  expectRefused(() => power(input), 'not-supported', 'dPrime');
});
