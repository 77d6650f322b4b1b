import { expect, test } from 'vitest';
import { power } from '../../stats/power';
import { sampleSize } from '../../stats/sample-size';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { chance: number; pd: number; alpha: number[]; beta: number[]; alternative: 'greater' | 'two-sided' },
  {
    smallest: { trials: number[]; count: number[]; power: number[] };
    lasting: { trials: number[]; count: number[] };
  }
>;

test.each(references<Case[]>('sample-size'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  inputs.alpha.forEach((alpha, i) => {
    const { chance, pd, alternative } = inputs;
    const { smallest, lasting } = sampleSize({ chance, pd, alternative, alpha, beta: inputs.beta[i] });
    const got = [smallest.trials, smallest.count, lasting.trials, lasting.count];
    const { smallest: first, lasting: last } = expected;
    expect(got, `${id} alpha ${alpha}`).toEqual([first.trials[i], first.count[i], last.trials[i], last.count[i]]);
    expectClose(smallest.power, first.power[i] ?? Number.NaN, tolerance, `${id} alpha ${alpha} power`);
  });
});

test('between the two sizes the power falls short somewhere, from the lasting one on nowhere', () => {
  const input = { chance: 1 / 3, alpha: 0.05, pd: 0.3 };
  const { smallest, lasting } = sampleSize({ ...input, beta: 0.2 });
  expect(power({ ...input, trials: lasting.trials - 1 }).power).toBeLessThan(0.8);
  expect(power({ ...input, trials: smallest.trials - 1 }).power).toBeLessThan(0.8);
  for (let trials = lasting.trials; trials < lasting.trials + 300; trials++) {
    expect(power({ ...input, trials }).power).toBeGreaterThanOrEqual(0.8);
  }
});

test('less is greater, mirrored', () => {
  const up = sampleSize({ chance: 0.4, proportion: 0.7, beta: 0.1 });
  const down = sampleSize({ chance: 0.6, proportion: 0.3, beta: 0.1, alternative: 'less' });
  expect(down.smallest.trials).toBe(up.smallest.trials);
  expect(down.smallest.count).toBe(up.smallest.trials - (up.smallest.count ?? 0));
  expectClose(down.smallest.power, up.smallest.power, { relative: 1e-10, absolute: 0 }, 'power');
});

test('two-sided away from one half', () => {
  const { smallest } = sampleSize({ chance: 1 / 3, proportion: 0.1, beta: 0.2, alternative: 'two-sided' });
  const again = power({ chance: 1 / 3, proportion: 0.1, alternative: 'two-sided', trials: smallest.trials });
  expect(again.power).toBe(smallest.power);
  expect(smallest.power).toBeGreaterThanOrEqual(0.8);
});

test('a difference on no or the wrong side, or too small to search for, is refused', () => {
  expectRefused(() => sampleSize({ pd: 0 }), 'inconsistent', 'pd');
  expectRefused(() => sampleSize({ proportion: 0.4 }), 'inconsistent', 'proportion');
  expectRefused(() => sampleSize({ proportion: 0.6, alternative: 'less' }), 'inconsistent', 'proportion');
  expectRefused(() => sampleSize({ proportion: 0.5001 }), 'unreachable', 'proportion');
  expectRefused(() => sampleSize({}), 'missing', 'pd');
});
