import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type CorrelationInput,
  type CorrelationMethod,
  type CorrelationResult,
  correlation,
  correlationMethods,
} from '../../stats/correlation';
import { normalUpper, tUpper } from '../../stats/distributions';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  Omit<CorrelationInput, 'method'>,
  Record<CorrelationMethod, Record<keyof CorrelationResult, number>>
>;

test.each(references<Case[]>('correlation'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  for (const method of correlationMethods) {
    const got = correlation({ ...inputs, method });
    expect(Object.keys(got)).toEqual(Object.keys(expected[method]));
    for (const [field, value] of Object.entries(expected[method])) {
      expectClose(Reflect.get(got, field), value, tolerance, `${id} ${method} ${field}`);
      const printed = published?.[`${method}.${field}`];
      const within = { relative: 0, absolute: printed?.tolerance ?? 0 };
      if (printed) expectClose(Reflect.get(got, field), printed.value, within, `${id} printed`);
    }
  }
});

function orders(n: number): number[][] {
  if (n === 0) return [[]];
  return orders(n - 1).flatMap((order) => Array.from({ length: n }, (_, at) => order.toSpliced(at, 0, n)));
}
const upTo = (n: number) => Array.from({ length: n }, (_, i) => i + 1);
const sign = (difference: number) => Math.sign(difference);

/** Σd² and Kendall's score as they are defined, in whole numbers. */
const scores = {
  spearman: (order: number[]) => order.reduce((sum, rank, i) => sum - (rank - (i + 1)) ** 2, 0),
  kendall: (order: number[]) =>
    order.reduce((sum, b, i) => order.slice(i + 1).reduce((inner, later) => inner + sign(later - b), sum), 0),
};

test.each(['spearman', 'kendall'] as const)(
  '%s: every order of up to 6 entries, by writing all of them out',
  (method) => {
    for (let n = 2; n <= 6; n++) {
      const all = orders(n);
      const counted = all.map(scores[method]);
      const attained = new Map<number, number>();
      all.forEach((order, at) => {
        const seen = counted[at] ?? Number.NaN;
        const below = counted.filter((score) => score <= seen).length;
        const above = counted.filter((score) => score >= seen).length;
        const expected = Math.min(1, (2 * Math.min(below, above)) / all.length);
        const { value, p } = correlation({ first: upTo(n), second: order, method });
        expectClose(p, expected, { relative: 1e-12, absolute: 0 }, `${method} ${order}`);
        const span = method === 'spearman' ? (n ** 3 - n) / 6 : (n * (n - 1)) / 2;
        const share = method === 'spearman' ? 1 + seen / span : seen / span;
        expectClose(value, share, { relative: 1e-12, absolute: 1e-14 }, `${method} ${order}`);
        attained.set(p, (attained.get(p) ?? 0) + 1);
      });
      // Under the null a p is met no oftener than it says.
      for (const p of attained.keys()) {
        const met = [...attained].reduce((sum, [other, times]) => sum + (other <= p ? times : 0), 0);
        expect(met / all.length).toBeLessThanOrEqual(p * (1 + 1e-12));
      }
    }
  },
);

test('Spearman with 7 to 9 entries and Kendall with 7, by writing all orders out for some', () => {
  const shuffled = [4, 1, 6, 2, 9, 3, 8, 5, 7];
  const all7 = orders(7);
  for (const method of ['spearman', 'kendall'] as const) {
    for (const second of [shuffled.filter((rank) => rank <= 7), [7, 6, 4, 5, 3, 1, 2], upTo(7)]) {
      const seen = scores[method](second);
      const at = all7.map(scores[method]);
      const less = at.filter((score) => score <= seen).length;
      const more = at.filter((score) => score >= seen).length;
      const { p } = correlation({ first: upTo(7), second, method });
      expectClose(p, Math.min(1, (2 * Math.min(less, more)) / 5040), { relative: 1e-12, absolute: 0 }, `${second}`);
    }
  }
  // The ends of 8 and 9: the order itself, and one exchange of neighbours.
  for (const [n, factorial] of [
    [8, 40_320],
    [9, 362_880],
  ] as const) {
    const swapped = [2, 1, ...upTo(n).slice(2)];
    const p = (second: number[]) => correlation({ first: upTo(n), second, method: 'spearman' }).p;
    expectClose(p(upTo(n)), 2 / factorial, { relative: 1e-12, absolute: 0 }, 'the same');
    expectClose(p(swapped), (2 * n) / factorial, { relative: 1e-12, absolute: 0 }, 'one exchange');
    expectClose(p([...swapped].reverse()), (2 * n) / factorial, { relative: 1e-12, absolute: 0 }, 'reversed');
  }
});

test('Kendall at 49 is exact to its last tail, and normal at 50', () => {
  let factorial = 1;
  for (let i = 2; i <= 49; i++) factorial *= i;
  const p = (second: number[]) => correlation({ first: upTo(second.length), second, method: 'kendall' }).p;
  expectClose(p(upTo(49)), 2 / factorial, { relative: 1e-11, absolute: 0 }, 'the same');
  const swapped = [2, 1, ...upTo(49).slice(2)];
  expectClose(p(swapped), (2 * 49) / factorial, { relative: 1e-11, absolute: 0 }, 'one exchange');
  const z = 1225 / Math.sqrt((50 * 49 * 105) / 18);
  expectClose(p(upTo(50)), 2 * normalUpper(z), { relative: 1e-11, absolute: 0 }, '50');
});

test('with ties: tau-b by its definition; the variance of its score by writing out all orders', () => {
  const list = fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 5, maxLength: 5 });
  const varied = list.filter((values) => new Set(values).size > 1);
  const every = orders(5);
  fc.assert(
    fc.property(varied, varied, (first, second) => {
      const tied = new Set(first).size < 5 || new Set(second).size < 5;
      const score = (a: number[], b: number[]) => {
        let sum = 0;
        for (let i = 0; i < 5; i++) {
          for (let j = 0; j < i; j++) {
            sum += sign((a[i] ?? 0) - (a[j] ?? 0)) * sign((b[i] ?? 0) - (b[j] ?? 0));
          }
        }
        return sum;
      };
      const { value, p } = correlation({ first, second, method: 'kendall' });
      const s = score(first, second);
      expectClose(
        value,
        s / Math.sqrt(score(first, first) * score(second, second)),
        { relative: 1e-12, absolute: 0 },
        'b',
      );
      if (!tied) return;
      const moved = every.map((order) =>
        score(
          first,
          order.map((at) => second[at - 1] ?? 0),
        ),
      );
      const variance = moved.reduce((sum, one) => sum + one ** 2, 0) / moved.length;
      const expected = 2 * normalUpper(Math.abs(s) / Math.sqrt(variance));
      expectClose(p, Math.min(1, expected), { relative: 1e-11, absolute: 0 }, `${first} ${second}`);
    }),
    { seed: 1, numRuns: 60 },
  );
});

const numbers = fc.array(fc.tuple(fc.integer({ min: -9, max: 9 }), fc.integer({ min: -9, max: 9 })), {
  minLength: 4,
  maxLength: 14,
});
const lists = numbers
  .map((pairs) => ({ first: pairs.map(([a]) => a), second: pairs.map(([, b]) => b) }))
  .filter(({ first, second }) => new Set(first).size > 1 && new Set(second).size > 1);

/** r from the variances of sum and difference of the standardised lists, by pairs of entries; t from the slope. */
test('Pearson by pairs of entries, its p by the t of the regression slope, its limits from tanh', () => {
  fc.assert(
    fc.property(lists, fc.double({ min: 0.5, max: 0.99, noNaN: true }), ({ first, second }, level) => {
      const n = first.length;
      const cross = (a: number[], b: number[]) => {
        let sum = 0;
        for (let i = 0; i < n; i++) {
          for (let j = 0; j < i; j++) sum += ((a[i] ?? 0) - (a[j] ?? 0)) * ((b[i] ?? 0) - (b[j] ?? 0));
        }
        return sum / n;
      };
      const [xx, xy, yy] = [cross(first, first), cross(first, second), cross(second, second)];
      const got = correlation({ first, second, level });
      const what = JSON.stringify({ first, second });
      expectClose(got.value, xy / Math.sqrt(xx * yy), { relative: 1e-11, absolute: 1e-13 }, what);
      const residual = yy - xy ** 2 / xx;
      if (residual < 1e-9) return;
      const t = xy / xx / Math.sqrt(residual / (n - 2) / xx);
      expectClose(got.p, 2 * tUpper(Math.abs(t), n - 2), { relative: 1e-9, absolute: 1e-12 }, what);
      const [lower, upper] = [got.lower ?? Number.NaN, got.upper ?? Number.NaN];
      expectClose(
        (Math.atanh(lower) + Math.atanh(upper)) / 2,
        Math.atanh(got.value),
        { relative: 1e-8, absolute: 1e-9 },
        what,
      );
      const tail = normalUpper(((Math.atanh(upper) - Math.atanh(lower)) / 2) * Math.sqrt(n - 3));
      expectClose(tail, (1 - level) / 2, { relative: 1e-6, absolute: 0 }, what);
    }),
    { seed: 2, numRuns: 150 },
  );
});

test('exchanged, turned round, moved and in any order: the same', () => {
  fc.assert(
    fc.property(lists, fc.constantFrom(...correlationMethods), ({ first, second }, method) => {
      const got = correlation({ first, second, method });
      const near = { relative: 1e-9, absolute: 1e-11 };
      const other = (a: number[], b: number[], factor: number, what: string) => {
        const { value, p } = correlation({ first: a, second: b, method });
        expectClose(value, factor * got.value, near, `${method} ${what}`);
        expectClose(p, got.p, near, `${method} ${what}`);
      };
      other(second, first, 1, 'exchanged');
      other([...first].reverse(), [...second].reverse(), 1, 'reordered');
      other(
        first,
        second.map((value) => -value),
        -1,
        'turned',
      );
      other(
        first.map((value) => 1e6 + 0.25 * value),
        second,
        1,
        'moved',
      );
      if (method !== 'pearson')
        other(
          first.map((value) => Math.exp(value)),
          second,
          1,
          'stretched',
        );
      expect(Math.abs(got.value)).toBeLessThanOrEqual(1);
      expect(got.p).toBeLessThanOrEqual(1);
    }),
    { seed: 3, numRuns: 200 },
  );
});

test('Spearman with ties is Pearson of the mid-ranks, beyond 9 pairs without ties as well', () => {
  const tied = { first: [1, 2, 2, 4, 5, 5, 5], second: [2, 1, 3, 3, 6, 7, 5] };
  const ranks = { first: [1, 2.5, 2.5, 4, 6, 6, 6], second: [2, 1, 3.5, 3.5, 6, 7, 5] };
  const { value, p } = correlation(ranks);
  expect(correlation({ ...tied, method: 'spearman' })).toEqual({ value, p });
  const ten = { first: upTo(10), second: [2, 1, 4, 3, 6, 5, 8, 7, 10, 9] };
  const straight = correlation(ten);
  expect(correlation({ ...ten, method: 'spearman' })).toEqual({ value: straight.value, p: straight.p });
});

test('a perfect line is exactly 1 or −1, rounding or not, and no interval is made up for three pairs', () => {
  expect(correlation({ first: [1, 2, 3], second: [2, 4, 6] })).toEqual({ value: 1, p: 0, lower: null, upper: null });
  const rounded = { first: [0.1, 0.2, 0.3, 0.7], second: [0.7, 0.6, 0.5, 0.1].map((value) => value + 1e3) };
  expect(correlation(rounded)).toEqual({ value: -1, p: 0, lower: -1, upper: -1 });
  const three = correlation({ first: [1, 2, 3], second: [1, 3, 2] });
  expect([three.lower, three.upper]).toEqual([null, null]);
  expectClose(three.p, 2 / 3, { relative: 1e-12, absolute: 0 }, 'r = ½ of three pairs: t = 1/√3 on one degree');
  const apart = correlation({ first: [4e-42, 4e-32, 5e-219], second: [4e-42, 2e-185, 4e-42] });
  expect([apart.value, apart.p > 0]).toEqual([-1, true]);
  // 1e-7 off a line is not a line: 1 − r² keeps its digits.
  const near = correlation({ first: [1, 2, 3, 4, 5], second: [1, 2 + 1e-7, 3, 4, 5] });
  expect(near.p).toBeGreaterThan(0);
  const [sxx, rest] = [10, 1e-14 * (1 - 1 / 5 - 1 / 10)];
  const t = Math.sqrt((3 * sxx) / rest);
  expectClose(near.p, 2 * tUpper(t, 3), { relative: 1e-6, absolute: 0 }, 'near');
});

test('a perfect order has the probability of that order and never 0', () => {
  const p = (first: number[], second: number[], method: CorrelationMethod) => correlation({ first, second, method }).p;
  expectClose(p([1, 1, 2, 2], [3, 3, 5, 5], 'spearman'), (2 * 4) / 24, { relative: 1e-12, absolute: 0 }, 'tied');
  expectClose(p([1, 1, 2, 2], [5, 5, 3, 3], 'spearman'), (2 * 4) / 24, { relative: 1e-12, absolute: 0 }, 'turned');
  expectClose(p(upTo(10), upTo(10), 'spearman'), 2 / 3_628_800, { relative: 1e-12, absolute: 0 }, 'ten');
  expect(p([1, 1, 1, 2], [1, 1, 1, 2], 'kendall')).toBeGreaterThan(0);
  expect(correlation({ first: [1, 2], second: [5, 3], method: 'kendall' })).toEqual({ value: -1, p: 1 });
  expect(correlation({ first: [1, 2], second: [5, 3], method: 'spearman' })).toEqual({ value: -1, p: 1 });
});

test('many ties leave the variance its digits: all but one entry tied in both lists', () => {
  const n = 2000;
  const first = upTo(n).map((i) => (i === 5 ? 1 : 0));
  const second = upTo(n).map((i) => (i === 9 ? 1 : 0));
  const { value, p } = correlation({ first, second, method: 'kendall' });
  // The odd entry of one falls on that of the other once in n times: score n − 1, else −1.
  const variance = (n - 1) ** 2 / n + (n - 1) / n;
  expectClose(value, -1 / (n - 1), { relative: 1e-12, absolute: 0 }, 'value');
  expectClose(p, 2 * normalUpper(1 / Math.sqrt(variance)), { relative: 1e-11, absolute: 0 }, 'p');
});

test('a constant list is refused and named, rounding included', () => {
  for (const method of correlationMethods) {
    expectRefused(() => correlation({ first: [4, 4, 4, 4], second: [1, 2, 3, 4], method }), 'no-variation', 'first');
    expectRefused(() => correlation({ first: [1, 2, 3, 4], second: [4, 4, 4, 4], method }), 'no-variation', 'second');
  }
  const rounding = [0.1 + 0.2, 0.3, 0.3];
  expectRefused(() => correlation({ first: [1, 2, 3], second: rounding }), 'no-variation', 'second');
});

test('bad input is refused with its place', () => {
  const unchecked = (input: object) => () => correlation({ first: [1, 2, 3, 4], second: [1, 3, 2, 5], ...input });
  expectRefused(unchecked({ first: [1, 2], second: [2, 1] }), 'not-enough-data', 'first');
  expectRefused(unchecked({ first: [1], second: [2], method: 'kendall' }), 'not-enough-data', 'first');
  expectRefused(unchecked({ second: [1, 2, 3] }), 'inconsistent', 'second');
  expectRefused(unchecked({ second: [1, 2, 3, Number.NaN] }), 'wrong-type', 'second.3');
  expectRefused(unchecked({ second: [1, 2, 3, null] }), 'missing', 'second.3');
  expectRefused(unchecked({ method: 'kendal' }), 'unknown-choice', 'method');
  expectRefused(unchecked({ level: 1 }), 'out-of-range', 'level');
  expectRefused(unchecked({ methods: 'kendall' }), 'unknown-option', 'methods');
});
