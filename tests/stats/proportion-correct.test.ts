import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dPrime } from '../../stats/d-prime';
import { proportionCorrect } from '../../stats/proportion-correct';
import { type ThurstonianMethod, thurstonianMethods } from '../../stats/thurstonian';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ method: ThurstonianMethod; dPrime: number[] }, { proportion: number[] }>;

test.each(references<Case[]>('proportion-correct'))(
  '$id: $source',
  ({ inputs, expected, tolerance, published, id }) => {
    inputs.dPrime.forEach((d, i) => {
      const { proportion } = proportionCorrect({ method: inputs.method, dPrime: d });
      expectClose(proportion, expected.proportion[i] ?? Number.NaN, tolerance, `${id} at ${d}`);
      // As printed; values from memory, as the case says.
      const printed = published?.[`proportion/${i + 1}`];
      if (printed)
        expectClose(proportion, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
    });
  },
);

test('the share of so many right answers has the d′ that gives that share', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...thurstonianMethods),
      fc.integer({ min: 2, max: 100_000 }),
      fc.nat(),
      (method, trials, pick) => {
        const correct = 1 + (pick % (trials - 1));
        const d = dPrime({ method, correct, trials }).dPrime as number;
        const { proportion } = proportionCorrect({ method, dPrime: d });
        const chance = proportionCorrect({ method, dPrime: 0 }).proportion;
        expectClose(proportion, Math.max(chance, correct / trials), { relative: 1e-13, absolute: 0 }, `${method} ${d}`);
      },
    ),
    { seed: 12, numRuns: 300 },
  );
});

test('no distance is chance; a great one is 1', () => {
  for (const method of thurstonianMethods) {
    const chance = ['3-afc', 'triangle', 'tetrad'].includes(method) ? 1 / 3 : 1 / 2;
    expect(proportionCorrect({ method, dPrime: 0 })).toEqual({ proportion: chance });
    expect(proportionCorrect({ method, dPrime: 1e300 })).toEqual({ proportion: 1 });
  }
});

test('bad input', () => {
  expectRefused(() => proportionCorrect({ method: 'triangle', dPrime: -0.1 }), 'out-of-range', 'dPrime');
  expectRefused(() => proportionCorrect({ method: 'triangle', dPrime: Number.NaN }), 'wrong-type', 'dPrime');
  expectRefused(
    () => proportionCorrect({ method: 'triangle', dPrime: Number.POSITIVE_INFINITY }),
    'wrong-type',
    'dPrime',
  );
  // @ts-expect-error a text
  expectRefused(() => proportionCorrect({ method: 'triangle', dPrime: '1' }), 'wrong-type', 'dPrime');
  // @ts-expect-error not offered
  const error = expectRefused(() => proportionCorrect({ method: '2-afk', dPrime: 1 }), 'unknown-choice', 'method');
  expect(error.message).toContain('did you mean 2-afc');
  // @ts-expect-error misspelt
  expectRefused(() => proportionCorrect({ methd: 'triangle', dPrime: 1 }), 'unknown-option', 'methd');
  // @ts-expect-error missing
  expectRefused(() => proportionCorrect({ dPrime: 1 }), 'missing', 'method');
});
