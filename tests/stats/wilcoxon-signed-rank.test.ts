import fc from 'fast-check';
import { expect, test } from 'vitest';
import { wilcoxonSignedRank, type ZeroRule } from '../../stats/wilcoxon-signed-rank';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

const alternatives = ['greater', 'less', 'two-sided'] as const;
type Case = ReferenceCase<
  { first: number[]; second: number[]; zeros?: ZeroRule },
  { v: number; nonZero: number } & Record<(typeof alternatives)[number], number>
>;

test.each(references<Case[]>('wilcoxon-signed-rank'))(
  '$id: $source',
  ({ inputs, expected, tolerance, published, id }) => {
    const { v, nonZero, exact } = wilcoxonSignedRank(inputs);
    expect([v, nonZero, exact]).toEqual([expected.v, expected.nonZero, true]);
    for (const alternative of alternatives) {
      const { p } = wilcoxonSignedRank({ ...inputs, alternative });
      expectClose(p, expected[alternative], tolerance, `${id} ${alternative}`);
      const printed = published?.[alternative];
      if (printed) expectClose(p, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
    }
    const printed = published?.v;
    if (printed) expectClose(v, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed v`);
  },
);

/** Data: Hollander & Wolfe 1973 p. 29 (from memory); limits: R 4.2.2, wilcox.test(paired = TRUE, conf.int = TRUE). */
test('estimate and interval of the depression scores', () => {
  const first = [1.83, 0.5, 1.62, 2.48, 1.68, 1.88, 1.55, 3.06, 1.3];
  const second = [0.878, 0.647, 0.598, 2.05, 1.06, 1.29, 1.06, 3.14, 1.29];
  const near = { relative: 1e-12, absolute: 1e-12 };
  for (const [level, lower, upper] of [
    [0.95, 0.01, 0.786],
    [0.8, 0.22, 0.691],
  ] as const) {
    const result = wilcoxonSignedRank({ first, second, level });
    expectClose(result.estimate, 0.46, near, 'estimate');
    expectClose(result.lower, lower, near, 'lower');
    expectClose(result.upper, upper, near, 'upper');
  }
});

const zeros = (of: readonly unknown[]) => of.map(() => 0);
const run = (differences: readonly number[], more: object = {}) =>
  wilcoxonSignedRank({ first: differences, second: zeros(differences), ...more });

/** The test by its definition: every way to set the signs of the mid-ranks, ranks by counting who is smaller. */
function enumerated(differences: readonly number[], rule: ZeroRule) {
  const ranked = rule === 'pratt' ? differences : differences.filter((d) => d !== 0);
  const ranks = ranked.flatMap((d) => {
    const smaller = ranked.filter((other) => Math.abs(other) < Math.abs(d)).length;
    const equal = ranked.filter((other) => Math.abs(other) === Math.abs(d)).length;
    return d === 0 ? [] : [{ rank: smaller + (equal + 1) / 2, positive: d > 0 }];
  });
  const v = ranks.reduce((total, { rank, positive }) => total + (positive ? rank : 0), 0);
  let greater = 0;
  let less = 0;
  for (let signs = 0; signs < 2 ** ranks.length; signs++) {
    let sum = 0;
    for (const [i, { rank }] of ranks.entries()) if ((signs >> i) % 2 === 1) sum += rank;
    if (sum >= v) greater++;
    if (sum <= v) less++;
  }
  const all = 2 ** ranks.length;
  const p = { greater: greater / all, less: less / all, 'two-sided': Math.min(1, (2 * Math.min(greater, less)) / all) };
  return { v, p, nonZero: ranks.length };
}

const coarse = fc
  .array(fc.integer({ min: -4, max: 4 }), { minLength: 1, maxLength: 11 })
  .filter((d) => d.some(Boolean));

test('p by enumeration of all signs, ties and zeros included, under both rules', () => {
  fc.assert(
    fc.property(coarse, fc.constantFrom<ZeroRule>('drop', 'pratt'), (differences, rule) => {
      const { v, p, nonZero } = enumerated(differences, rule);
      for (const alternative of alternatives) {
        const got = run(differences, { zeros: rule, alternative });
        expect([got.v, got.p, got.nonZero, got.exact]).toEqual([v, p[alternative], nonZero, true]);
      }
    }),
    { seed: 1, numRuns: 250 },
  );
});

test.each([[[1, 2, 3, 4, 5, 6, 7]], [[1, 1, 1, 2, 2, 5, 5]], [[3, 3, 3, 3]]])(
  'under the null p ≤ α no oftener than α, for every α: sizes %j',
  (sizes) => {
    const panels = Array.from({ length: 2 ** sizes.length }, (_, signs) =>
      sizes.map((size, i) => ((signs >> i) % 2 === 1 ? size : -size)),
    );
    for (const alternative of alternatives) {
      const ps = panels.map((panel) => run(panel, { alternative }).p);
      for (const p of ps) {
        const as = ps.filter((other) => other <= p).length / ps.length;
        if (alternative === 'two-sided') expect(as).toBeLessThanOrEqual(p);
        else expect(as).toBe(p);
      }
    }
  },
);

/** All Walsh averages, written out. */
const averages = (d: readonly number[]) =>
  d.flatMap((a, i) => d.slice(i).map((b) => (a + b) / 2)).sort((a, b) => a - b);

/** How many subsets of the ranks 1 … n have each sum, one rank after another. */
function rankSums(n: number): number[] {
  let counts = [1];
  for (let rank = 1; rank <= n; rank++) {
    const next = new Array<number>(counts.length + rank).fill(0);
    for (const [sum, count] of counts.entries()) {
      next[sum] = (next[sum] ?? 0) + count;
      next[sum + rank] = (next[sum + rank] ?? 0) + count;
    }
    counts = next;
  }
  return counts;
}

/** The largest k with P(V < k) ≤ tail. */
function place(n: number, tail: number): number {
  const counts = rankSums(n);
  let k = 0;
  let below = 0;
  while (below + (counts[k] ?? 0) <= tail * 2 ** n) below += counts[k++] ?? 0;
  return k;
}

const anyDifferences = fc
  .array(fc.oneof(fc.integer({ min: -5, max: 5 }), fc.double({ min: -1e6, max: 1e6, noNaN: true })), {
    minLength: 1,
    maxLength: 30,
  })
  .filter((d) => d.some((one) => Math.abs(one) > 1e-3));

test('the estimate is the median of all Walsh averages, the limits are the k-th from either end', () => {
  fc.assert(
    fc.property(anyDifferences, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (differences, level) => {
      const all = averages(differences);
      const half = all.length / 2;
      const median = ((all[Math.ceil(half - 0.5)] ?? 0) + (all[Math.ceil(half) - 1] ?? 0)) / 2;
      const { estimate, lower, upper, unbounded } = run(differences, { level });
      expect(estimate - median).toBe(0);
      const k = place(differences.length, (1 - level) / 2);
      expect([lower, upper, unbounded]).toEqual([all[k - 1] ?? null, all[all.length - k] ?? null, k === 0]);
      if (lower !== null && upper !== null) expect(lower <= estimate && estimate <= upper).toBe(true);
    }),
    { seed: 2, numRuns: 300 },
  );
});

test('the interval holds the centres that the exact two-sided test does not refuse', () => {
  const differences = [-3.1, 1.3, 2.9, 4.2, 5.7, 8.8, 11.4, 12.3];
  const all = averages(differences);
  for (const level of [0.8, 0.9, 0.95, 0.98]) {
    const { lower, upper } = run(differences, { level });
    for (const [i, average] of all.entries()) {
      const centre = (average + (all[i + 1] ?? average + 1)) / 2;
      const { p } = enumerated(
        differences.map((d) => d - centre),
        'drop',
      );
      const inside = centre > (lower ?? Number.NaN) && centre < (upper ?? Number.NaN);
      expect(inside, `${centre} at ${level}`).toBe(p['two-sided'] > 1 - level);
    }
  }
});

test('a panel too small for the level has no limits: five listeners at 0.95, six have them', () => {
  for (const [size, unbounded] of [
    [1, true],
    [5, true],
    [6, false],
  ] as const) {
    const differences = [2, 3, 5, 7, 11, 13].slice(0, size);
    const result = run(differences);
    expect(result.unbounded).toBe(unbounded);
    expect([result.lower, result.upper]).toEqual(unbounded ? [null, null] : [2, 13]);
    expect(result.p).toBe(2 ** (1 - size));
  }
  // Level 1 − 2/2⁵ is reached exactly.
  expect(run([2, 3, 5, 7, 11], { level: 1 - 2 / 2 ** 5 }).lower).toBe(2);
});

test('swapping the samples mirrors, the order of listeners and their own levels change nothing', () => {
  fc.assert(
    fc.property(coarse, fc.constantFrom<ZeroRule>('drop', 'pratt'), (differences, rule) => {
      const plain = run(differences, { zeros: rule, alternative: 'greater' });
      const mirrored = run(
        differences.map((d) => -d),
        { zeros: rule, alternative: 'less' },
      );
      expect(mirrored.p).toBe(plain.p);
      expect(mirrored.estimate + plain.estimate).toBe(0);
      if (plain.upper !== null) expect((mirrored.lower ?? Number.NaN) + plain.upper).toBe(0);
      expect(run([...differences].reverse(), { zeros: rule, alternative: 'greater' })).toEqual(plain);
      const own = differences.map((_, i) => 3 * i);
      const first = differences.map((d, i) => d + (own[i] ?? 0));
      expect(wilcoxonSignedRank({ first, second: own, zeros: rule, alternative: 'greater' })).toEqual(plain);
      const scaled = differences.map((d) => 0.1 * d);
      expect(run(scaled, { zeros: rule, alternative: 'greater' }).p).toBe(plain.p);
    }),
    { seed: 3, numRuns: 200 },
  );
});

test('without ties, a larger difference of one listener never speaks less for the first', () => {
  const distinct = fc.uniqueArray(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 9 });
  fc.assert(
    fc.property(distinct, fc.nat(511), fc.integer({ min: 13, max: 40 }), (sizes, signs, more) => {
      const differences = sizes.map((size, i) => ((signs >> i) % 2 === 1 ? size : -size));
      const raised = differences.map((d, i) => (i === 0 ? d + 2 * more : d));
      const p = (of: number[]) => run(of, { alternative: 'greater' }).p;
      expect(p(raised)).toBeLessThanOrEqual(p(differences));
      expect(run(raised).estimate).toBeGreaterThanOrEqual(run(differences).estimate);
    }),
    { seed: 4, numRuns: 150 },
  );
});

test('rounding makes no difference of a tie, and none of a zero', () => {
  const first = [0.3, 0.2, 0.7, 0.3];
  const second = [0.2, 0.1, 0.6, 0.1 + 0.2];
  expect(wilcoxonSignedRank({ first, second, alternative: 'greater' })).toMatchObject({ v: 6, p: 1 / 8, nonZero: 3 });
  const signs = wilcoxonSignedRank({ first: [0.3, 0.1, 0.7], second: [0.2, 0.2, 0.6] });
  expect([signs.v, signs.p]).toEqual([4, 1]);
});

/** R 4.2.2: wilcox.test(d, exact = FALSE, correct = TRUE)$p.value for d as made here, 64 of the 72 not zero. */
test('beyond 50 pairs the normal law with ties and continuity, as R has it', () => {
  const differences = Array.from({ length: 72 }, (_, i) => ((i * 7) % 9) - 3);
  const expected = { 'two-sided': 0.0023798198592456, greater: 0.0011899099296228, less: 0.998836392780189 };
  for (const alternative of alternatives) {
    const result = run(differences, { alternative });
    expect([result.exact, result.nonZero, result.v]).toEqual([false, 64, 1492]);
    expectClose(result.p, expected[alternative], { relative: 1e-11, absolute: 0 }, alternative);
  }
});

test('fifty are counted; for 51 the normal law comes near what counting gives, and so do the limits', () => {
  const differences = Array.from({ length: 51 }, (_, i) => (((i * 37) % 51) + 1) * (i % 3 === 0 ? -1 : 1));
  expect(run(differences.slice(1)).exact).toBe(true);
  const { v, p, exact, lower, upper } = run(differences, { alternative: 'greater' });
  const counts = rankSums(51);
  const beyond = counts.slice(v).reduce((total, count) => total + count, 0) / 2 ** 51;
  expect(exact).toBe(false);
  expectClose(p, beyond, { relative: 0.05, absolute: 0 }, 'p');
  const all = averages(differences);
  const k = place(51, 0.025);
  expect(all.slice(k - 2, k + 1)).toContain(lower);
  expect(all.slice(all.length - k - 1, all.length - k + 2)).toContain(upper);
  expect(run(Array.from({ length: 60 }, () => 1)).p).toBeLessThan(1e-13);
});

test('all fifty one way keep the far tail', () => {
  const differences = Array.from({ length: 50 }, (_, i) => i + 1);
  expect(run(differences, { alternative: 'greater' }).p).toBe(2 ** -50);
  expectClose(run(differences, { alternative: 'less' }).p, 1, rounding, 'other tail');
});

test('a balance of signs has p 1; all alike is a sign test; nobody with a difference is refused', () => {
  expect(run([1, -1]).p).toBe(1);
  expect(run([2, 2, 2, 2, 2, 2])).toMatchObject({ v: 21, p: 1 / 32, estimate: 2, lower: 2, upper: 2 });
  // Most feel nothing: those who do lean one way, the typical difference is still none.
  expect(run([...new Array<number>(12).fill(0), 1, 1, 1, 1, 1])).toMatchObject({ p: 1 / 16, estimate: 0, nonZero: 5 });
  const refused = (first: number[], second: number[]) =>
    expectRefused(() => wilcoxonSignedRank({ first, second }), 'no-variation', 'first');
  refused([5, 6], [5, 6]);
  refused([0.1 + 0.2], [0.3]);
});

test('bad input is refused, naming the field', () => {
  const bad = (more: object) => () => wilcoxonSignedRank({ first: [5, 6], second: [6, 6], ...more });
  expectRefused(bad({ first: [] }), 'not-enough-data', 'first');
  expectRefused(bad({ first: [5] }), 'inconsistent', 'second');
  expectRefused(bad({ second: undefined }), 'missing', 'second');
  expectRefused(bad({ first: [5, Number.NaN] }), 'wrong-type', 'first.1');
  expectRefused(bad({ second: ['6', 6] }), 'wrong-type', 'second.0');
  expectRefused(bad({ zeros: 'prat' }), 'unknown-choice', 'zeros');
  expectRefused(bad({ alternative: 'both' }), 'unknown-choice', 'alternative');
  expectRefused(bad({ level: 0 }), 'out-of-range', 'level');
  expectRefused(bad({ zero: 'drop' }), 'unknown-option', 'zero');
});
