import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { pairedPreference } from '../../stats/paired-preference';
import { proportionInterval } from '../../stats/proportion-interval';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Part = { trialsUsed: number; p: number };
type Case = ReferenceCase<{ first: number; second: number; none: number }, { drop: Part; split: Part }>;

test.each(references<Case[]>('paired-preference'))('$id', ({ inputs, expected, tolerance, id }) => {
  for (const noneRule of ['drop', 'split'] as const) {
    const got = pairedPreference({ ...inputs, noneRule });
    expect(got.trialsUsed).toBe(expected[noneRule].trialsUsed);
    expectClose(got.p, expected[noneRule].p, tolerance, `${id} ${noneRule}`);
  }
});

test('the interval is Clopper–Pearson on the answers used', () => {
  const { share, lower, upper } = pairedPreference({ first: 9, second: 3, level: 0.9 });
  expect({ lower, upper }).toEqual(proportionInterval({ correct: 9, trials: 12, level: 0.9 }));
  expect(share).toBe(0.75);
});

test('an odd answer without preference counts against the leader', () => {
  const led = pairedPreference({ first: 7, second: 4, none: 3, noneRule: 'split' });
  expect(led).toMatchObject({ share: 8 / 14, trialsUsed: 14 });
  expect(led.p).toBe(binomialTest({ correct: 8, trials: 14, alternative: 'two-sided' }).p);
  const behind = pairedPreference({ first: 4, second: 7, none: 3, noneRule: 'split' });
  expect(behind.share).toBeCloseTo(6 / 14, 15);
  expect(behind.p).toBe(led.p);
});

test('with no leader the odd answer favours neither', () => {
  for (const alternative of ['greater', 'less', 'two-sided'] as const) {
    const { share, p, lower, upper } = pairedPreference({
      first: 3,
      second: 3,
      none: 1,
      noneRule: 'split',
      alternative,
    });
    expect(share).toBe(0.5);
    expectClose(lower + upper, 1, { relative: 1e-12, absolute: 0 }, 'symmetrical');
    expect(p).toBeGreaterThan(0.5);
  }
});

test('proportional leaves share and p as drop has them', () => {
  const input = { first: 11, second: 5, none: 6 };
  expect(pairedPreference({ ...input, noneRule: 'proportional' })).toEqual(pairedPreference(input));
});

test('changing sides mirrors the result; all one way is defined; no answer is refused', () => {
  const one = pairedPreference({ first: 10, second: 4, none: 2 });
  const other = pairedPreference({ first: 4, second: 10, none: 2 });
  expectClose(other.p, one.p, { relative: 1e-12, absolute: 0 }, 'p');
  expectClose(1 - other.upper, one.lower, { relative: 1e-10, absolute: 0 }, 'limits');
  expect(pairedPreference({ first: 6, second: 0 })).toMatchObject({ share: 1, p: 1 / 32, upper: 1 });
  expect(pairedPreference({ first: 0, second: 0, none: 4, noneRule: 'split' })).toMatchObject({ share: 0.5, p: 1 });
  expectRefused(() => pairedPreference({ first: 0, second: 0, none: 4 }), 'not-enough-data', 'first');
  expectRefused(() => pairedPreference({ first: 0, second: 0, noneRule: 'split' }), 'not-enough-data', 'first');
});
