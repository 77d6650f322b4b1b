import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalUpper } from '../../stats/distributions';
import { type McnemarInput, mcnemar } from '../../stats/mcnemar';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<{ b: number; c: number }, { p: number }>;

test.each(references<Case[]>('mcnemar'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { p, odds, unbounded } = mcnemar(inputs);
  expectClose(p, expected.p, tolerance, id);
  expect([odds, unbounded]).toEqual([inputs.b / inputs.c, false]);
});

test('up to ten changes, by tossing a coin for each in all ways; conservative at every p', () => {
  for (let changes = 1; changes <= 10; changes++) {
    const heads = new Array<number>(changes + 1).fill(0);
    for (let code = 0; code < 2 ** changes; code++) {
      let ones = 0;
      for (let i = 0; i < changes; i++) ones += Math.floor(code / 2 ** i) % 2;
      heads[ones] = (heads[ones] ?? 0) + 1 / 2 ** changes;
    }
    const attained: number[] = [];
    for (let b = 0; b <= changes; b++) {
      // As lopsided as seen, or more so, to either side.
      const off = Math.abs(b - changes / 2);
      const p = heads.reduce((sum, share, k) => (Math.abs(k - changes / 2) >= off ? sum + share : sum), 0);
      attained.push(mcnemar({ b, c: changes - b }).p);
      expectClose(attained[b], p, rounding, `${b} of ${changes}`);
    }
    for (const alpha of attained) {
      const risk = heads.reduce((sum, share, b) => ((attained[b] ?? 0) <= alpha ? sum + share : sum), 0);
      expect(risk).toBeLessThanOrEqual(alpha + 1e-12);
    }
  }
});

test('the two ways exchanged change the odds alone, and p falls as they part', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 2000 }), fc.integer({ min: 1, max: 2000 }), (b, c) => {
      const one = mcnemar({ b, c });
      const two = mcnemar({ b: c, c: b });
      expect(two.p).toBe(one.p);
      expectClose((one.odds ?? 0) * (two.odds ?? 0), 1, rounding, 'odds');
      const further = mcnemar(b > c ? { b: b + 1, c: c - 1 } : { b: b - 1, c: c + 1 });
      expect(further.p).toBeLessThanOrEqual(one.p);
    }),
    { seed: 25, numRuns: 200 },
  );
});

test('nobody changed, all one way, very many', () => {
  expect(mcnemar({ b: 0, c: 0 })).toEqual({ p: 1, odds: null, unbounded: false });
  expect(mcnemar({ b: 6, c: 0 })).toEqual({ p: 2 ** -5, odds: null, unbounded: true });
  expect(mcnemar({ b: 0, c: 6 })).toEqual({ p: 2 ** -5, odds: 0, unbounded: false });
  expectClose(mcnemar({ b: 0, c: 1000 }).p, 2 ** -999, { relative: 1e-11, absolute: 0 }, 'tail');
  expect(mcnemar({ b: 1e9, c: 1e9 }).p).toBe(1);
  // 1.999 standard deviations with the half step of the count: the normal tail to a part in a hundred thousand.
  const { p } = mcnemar({ b: 499_000, c: 501_000 });
  expectClose(p, 2 * normalUpper(1.999), { relative: 1e-5, absolute: 0 }, 'a million');
});

test.each([
  [{ b: -1 }, 'out-of-range', 'b'],
  [{ b: 1.5 }, 'wrong-type', 'b'],
  [{ c: '3' }, 'wrong-type', 'c'],
  [{ c: undefined }, 'missing', 'c'],
  [{ c: 1e10 }, 'out-of-range', 'c'],
  [{ a: 3 }, 'unknown-option', 'a'],
] as const)('bad input is refused: %o', (change, code, path) => {
  expectRefused(() => mcnemar({ b: 3, c: 4, ...change } as unknown as McnemarInput), code, path);
});
