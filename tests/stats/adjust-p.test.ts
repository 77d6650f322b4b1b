import fc from 'fast-check';
import { expect, test } from 'vitest';
import { adjustMethods, adjustP } from '../../stats/adjust-p';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ p: number[] }, Record<(typeof adjustMethods)[number], number[]>>;

test.each(references<Case[]>('adjust-p'))('$id', ({ inputs, expected, tolerance, id }) => {
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

test('no p, or what is none, is refused', () => {
  expectRefused(() => adjustP({ p: [] }), 'not-enough-data', 'p');
  expectRefused(() => adjustP({ p: [0.1, 1.2] }), 'out-of-range', 'p.1');
  expectRefused(() => adjustP({ p: [0.1], method: 'holms' as never }), 'unknown-choice', 'method');
});
