import fc from 'fast-check';
import { expect, test } from 'vitest';
import { adjustMethods, adjustP } from '../../stats/adjust-p';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<{ p: number[] }, Record<(typeof adjustMethods)[number], number[]>>;

test.each(references<Case[]>('adjust-p'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  for (const method of adjustMethods) {
    adjustP({ p: inputs.p, method }).p.forEach((got, i) => {
      expectClose(got, expected[method][i] ?? Number.NaN, tolerance, `${id} ${method} ${i}`);
    });
  }
});

const ps = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 12 });

test('adjusted p are never below the raw ones, at most 1, and keep their order', () => {
  fc.assert(
    fc.property(ps, fc.constantFrom(...adjustMethods), (p, method) => {
      const adjusted = adjustP({ p, method }).p;
      p.forEach((raw, i) => {
        expect(adjusted[i]).toBeGreaterThanOrEqual(raw);
        expect(adjusted[i]).toBeLessThanOrEqual(1);
        p.forEach((other, j) => {
          if (raw <= other) expect(adjusted[i]).toBeLessThanOrEqual(adjusted[j] ?? Number.NaN);
        });
      });
    }),
    { seed: 5, numRuns: 200 },
  );
});

test('Holm lies between the raw p and Bonferroni, and turning the list round turns the answer', () => {
  fc.assert(
    fc.property(ps, (p) => {
      const holm = adjustP({ p }).p;
      const bonferroni = adjustP({ p, method: 'bonferroni' }).p;
      for (const [i, one] of holm.entries()) expect(one).toBeLessThanOrEqual(bonferroni[i] ?? Number.NaN);
      expect(adjustP({ p: [...p].reverse() }).p).toEqual([...holm].reverse());
    }),
    { seed: 6, numRuns: 200 },
  );
});

/** All subsets that hold question i, as lists of the others and i. */
const subsetsWith = (m: number, i: number) =>
  Array.from({ length: 2 ** m }, (_, bits) =>
    Array.from({ length: m }, (_, j) => j).filter((j) => (bits >> j) % 2 === 1),
  ).filter((subset) => subset.includes(i));

test('Holm by closed testing: every set of questions that holds one is tested by itself with Bonferroni', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 6 }), (p) => {
      adjustP({ p }).p.forEach((got, i) => {
        const worst = subsetsWith(p.length, i).map((set) => set.length * Math.min(...set.map((j) => p[j] ?? 1)));
        expectClose(got, Math.min(1, Math.max(...worst)), rounding, `question ${i}`);
      });
    }),
    { seed: 7, numRuns: 100 },
  );
});

test('Benjamini–Hochberg by its definition: the least α at which the step-up rule finds the question', () => {
  fc.assert(
    fc.property(ps, (p) => {
      adjustP({ p, method: 'benjamini-hochberg' }).p.forEach((got, i) => {
        // At α the rule finds all p ≤ the largest p with p ≤ α·(how many are no larger)/m.
        const least = p
          .filter((other) => other >= (p[i] ?? 0))
          .map((other) => (other * p.length) / p.filter((one) => one <= other).length);
        expectClose(got, Math.min(1, ...least), rounding, `question ${i}`);
      });
    }),
    { seed: 8, numRuns: 150 },
  );
});

test('one question, sure and hopeless ones, tiny p: nothing is lost', () => {
  for (const method of adjustMethods) {
    expect(adjustP({ p: [0.03], method }).p).toEqual([0.03]);
    expect(adjustP({ p: [0, 1, 1], method }).p).toEqual([0, 1, 1]);
    expectClose(adjustP({ p: [1e-300, 0.5], method }).p[0], 2e-300, { relative: 1e-12, absolute: 0 }, method);
  }
});

test('no p, or what is none, is refused', () => {
  expectRefused(() => adjustP({ p: [] }), 'not-enough-data', 'p');
  expectRefused(() => adjustP({ p: [0.1, 1.2] }), 'out-of-range', 'p.1');
  expectRefused(() => adjustP({ p: [-0.1, 0.2] }), 'out-of-range', 'p.0');
  expectRefused(() => adjustP({ p: [0.1, Number.NaN] }), 'wrong-type', 'p.1');
  expectRefused(() => adjustP({ p: ['0.1'] as never }), 'wrong-type', 'p.0');
  expectRefused(() => adjustP({ p: [null] as never }), 'missing', 'p.0');
  expectRefused(() => adjustP({ p: 0.1 as never }), 'wrong-type', 'p');
  expectRefused(() => adjustP({} as never), 'missing', 'p');
  expectRefused(() => adjustP({ p: [0.1], methods: 'holm' } as never), 'unknown-option', 'methods');
  expectRefused(() => adjustP({ p: [0.1], method: 'holms' as never }), 'unknown-choice', 'method');
});
