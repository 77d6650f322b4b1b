import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BradleyTerryInput, type BradleyTerryResult, bradleyTerry } from '../../stats/bradley-terry';
import { readComparisons } from '../../stats/comparisons';
import { StatsError } from '../../stats/errors';
import { PairCounts } from '../../stats/pair-counts';
import { WorthFit } from '../../stats/worth-fit';
import { expectClose } from './support';

type Counts = [first: string, second: string, firstWins: number, secondWins: number, ties?: number];
const rows = (counts: Counts[]) =>
  counts.map(([first, second, firstWins, secondWins, ties = 0]) => ({ first, second, firstWins, secondWins, ties }));
const worth = ({ items }: BradleyTerryResult, name: string) =>
  items.find(({ item }) => item === name)?.logWorth ?? Number.NaN;

/** R 4.2.2, optim on the likelihood of the definition, to the digits given. */
const printed = { relative: 0, absolute: 6e-4 };

test('few wins beside many ties: the whole step of Newton’s rule leads where nothing tells the way back', () => {
  const result = bradleyTerry({
    items: ['A', 'B', 'C'],
    ties: 'davidson',
    comparisons: rows([
      ['A', 'B', 0, 9, 0],
      ['A', 'C', 2, 2, 478],
      ['B', 'C', 1, 0, 1],
    ]),
  });
  expectClose(worth(result, 'A') - worth(result, 'C'), -0.4001, printed, 'A − C');
  expectClose(worth(result, 'B') - worth(result, 'C'), 15.2755, printed, 'B − C');
  expectClose(result.tieParameter?.logNu, 5.4963, printed, 'log ν');
});

test('ties in one order only: worths, order and ties hang on a few answers of thousands', () => {
  const { pairs, orderEffect, tieParameter } = bradleyTerry({
    items: ['A', 'B'],
    ties: 'davidson',
    orderEffect: true,
    comparisons: rows([
      ['A', 'B', 86, 49, 8105],
      ['B', 'A', 3, 107, 0],
    ]),
  });
  expectClose(pairs[0]?.difference, 7.901, printed, 'A − B');
  expectClose(orderEffect?.logWorth, -7.364, printed, 'being first');
  expectClose(tieParameter?.logNu, 8.461, printed, 'log ν');
  expectClose(pairs[0]?.standardError, 0.442, printed, 'error of A − B');
  expectClose(orderEffect?.standardError, 0.433, printed, 'error of being first');
  expectClose(tieParameter?.standardError, 0.246, printed, 'error of log ν');
});

test('millions against a few, with an order effect', () => {
  const result = bradleyTerry({
    items: ['A', 'B', 'C'],
    orderEffect: true,
    comparisons: rows([
      ['A', 'B', 4787204, 78],
      ['A', 'C', 4348, 3878819],
      ['B', 'C', 300, 56],
      ['C', 'A', 2262, 1],
    ]),
  });
  expectClose(worth(result, 'A') - worth(result, 'C'), -26.22184, printed, 'A − C');
  expectClose(worth(result, 'B') - worth(result, 'C'), -17.79231, printed, 'B − C');
  expectClose(result.orderEffect?.logWorth, 19.42896, printed, 'being first');
});

test('two items as far apart as can be given: the log odds still', () => {
  const { pairs } = bradleyTerry({ items: ['A', 'B'], comparisons: rows([['A', 'B', 1e12, 1e-300]]) });
  expectClose(pairs[0]?.difference, 312 * Math.log(10), { relative: 1e-12, absolute: 0 }, 'log odds');
  expectClose(pairs[0]?.standardError, 1e150, { relative: 1e-6, absolute: 0 }, 'error');
});

test('begun from worths far off, where all is flat but for the slope, a fit ends where it does from none', () => {
  const panel = [
    rows([
      ['A', 'B', 0, 2018],
      ['B', 'A', 29, 10],
    ]),
    rows([
      ['A', 'B', 10, 0, 765],
      ['B', 'A', 1, 3, 7],
    ]),
    rows([
      ['A', 'B', 1081, 45205],
      ['B', 'A', 0, 6],
    ]),
  ].map((own) => readComparisons(own, 'comparisons', ['A', 'B'], 'davidson'));
  const pairs = new PairCounts(2, panel, true);
  const model = { link: 'logit', order: true, tied: true } as const;
  const [a, b, c] = panel.map((own) => pairs.add(own)) as [Float64Array, Float64Array, Float64Array];
  const fit = new WorthFit(pairs, model);
  fit.fit(
    a.map((count, k) => count + (b[k] ?? 0) + (c[k] ?? 0)),
    model,
  );
  const start = fit.theta.slice();
  fit.fit(b, model);
  const from = fit.theta.slice();
  fit.fit(b, model, start);
  fit.theta.forEach((value, k) => {
    expectClose(value, from[k] ?? Number.NaN, { relative: 1e-8, absolute: 1e-8 }, `parameter ${k}`);
  });
});

/** No answer, or from one to `most`, each power of ten as likely as the next. */
const count = (most: number) =>
  fc.oneof(
    { weight: 1, arbitrary: fc.constant(0) },
    {
      weight: 3,
      arbitrary: fc.double({ min: 0, max: Math.log10(most), noNaN: true }).map((power) => Math.floor(10 ** power)),
    },
  );
const models = [{}, { ties: 'davidson' }, { orderEffect: true }, { ties: 'davidson', orderEffect: true }] as const;
const panel = (most: number, sizes: { min: number; max: number }) =>
  fc.tuple(fc.integer(sizes), fc.array(count(most), { minLength: 36, maxLength: 36 })).map(([n, counts]) => {
    const items = ['A', 'B', 'C', 'D'].slice(0, n);
    const orders = items.flatMap((first) => items.filter((item) => item !== first).map((item) => [first, item]));
    const comparisons = orders.map(([first = '', second = ''], k) => ({
      first,
      second,
      firstWins: counts[3 * k] ?? 0,
      secondWins: counts[3 * k + 1] ?? 0,
      ties: counts[3 * k + 2] ?? 0,
    }));
    return { items, comparisons };
  });

/** The estimate, or null where there is none to be found; anything else that is refused fails the test. */
function estimate(input: BradleyTerryInput): BradleyTerryResult | null {
  try {
    return bradleyTerry(input);
  } catch (error) {
    if (error instanceof StatsError && ['separated', 'islands', 'not-identified'].includes(error.code)) return null;
    throw error;
  }
}

test('whatever has an estimate gets one, up to a hundred million answers beside a few', () => {
  let found = 0;
  fc.assert(
    fc.property(
      panel(1e8, { min: 2, max: 4 }),
      fc.constantFrom(...models, { link: 'probit' as const }, { link: 'probit' as const, orderEffect: true }),
      (input, model) => {
        if (estimate({ ...input, ...model }) !== null) found++;
      },
    ),
    { seed: 31, numRuns: 1500 },
  );
  expect(found).toBeGreaterThan(1000);
});

/**
 * The maximum of a concave function by bisection in bisection: for each value of a parameter those after it are put where
 * their own slopes are zero, and the slope that then remains tells on which side of it the maximum is.
 */
function bisected(slope: (at: number[], k: number) => number, parameters: number): number[] {
  const at = new Array<number>(parameters).fill(0);
  const settle = (k: number): void => {
    if (k === parameters) return;
    let [low, high] = [-60, 60];
    for (let half = 0; half < 46; half++) {
      at[k] = (low + high) / 2;
      settle(k + 1);
      if (slope(at, k) > 0) low = at[k] as number;
      else high = at[k] as number;
    }
  };
  settle(0);
  return at;
}

/** Slopes by the definition: a first weighs e^λᵢ, a second e^(λⱼ + log γ), a tie e^(log ν + (λᵢ + λⱼ)/2). */
function slopes({ items, comparisons, ties, orderEffect }: BradleyTerryInput) {
  const n = items.length;
  const order = orderEffect ? n - 1 : -1;
  const tie = ties === 'davidson' ? n - 1 + Number(orderEffect ?? false) : -1;
  const numbered = comparisons.map((row) => ({ ...row, i: items.indexOf(row.first), j: items.indexOf(row.second) }));
  const slope = (at: number[], k: number) => {
    const worthOf = (i: number) => (i === n - 1 ? 0 : (at[i] ?? 0));
    let sum = 0;
    for (const { i, j, firstWins, secondWins, ties: tied = 0 } of numbered) {
      // How each of the three weights moves with parameter k.
      const [ofFirst, ofSecond] = [Number(k === i && i < n - 1), Number(k === j && j < n - 1)];
      const a = ofFirst;
      const b = k === order ? 1 : ofSecond;
      const c = k === tie ? 1 : (ofFirst + ofSecond) / 2;
      if (a === b && (tie < 0 || a === c)) continue;
      const first = worthOf(i);
      const second = worthOf(j) + (order < 0 ? 0 : (at[order] ?? 0));
      const neither = tie < 0 ? Number.NEGATIVE_INFINITY : (at[tie] ?? 0) + (worthOf(i) + worthOf(j)) / 2;
      const top = Math.max(first, second, neither);
      const [p, q, t] = [Math.exp(first - top), Math.exp(second - top), Math.exp(neither - top)];
      const total = p + q + t;
      sum += (firstWins * ((a - b) * q + (a - c) * t)) / total;
      sum += (secondWins * ((b - a) * p + (b - c) * t)) / total;
      if (tie >= 0) sum += (tied * ((c - a) * p + (c - b) * q)) / total;
    }
    return sum;
  };
  return { slope, parameters: n - 1 + Number(order >= 0) + Number(tie >= 0), order, tie };
}

test('far apart as answers may be, the estimate is where bisection of the slopes finds it', () => {
  let compared = 0;
  fc.assert(
    fc.property(panel(1e5, { min: 2, max: 3 }), fc.constantFrom(...models), (input, model) => {
      const all = { ...input, ...model };
      const { slope, parameters, order, tie } = slopes(all);
      fc.pre(parameters <= 3);
      const result = estimate(all);
      fc.pre(result !== null);
      const at = bisected(slope, parameters);
      compared++;
      const last = worth(result, input.items.at(-1) ?? '');
      const near = { relative: 1e-6, absolute: 1e-6 };
      for (const [i, item] of input.items.slice(0, -1).entries()) {
        expectClose(worth(result, item) - last, at[i] ?? Number.NaN, near, item);
      }
      if (order >= 0) expectClose(result.orderEffect?.logWorth, -(at[order] ?? Number.NaN), near, 'order');
      if (tie >= 0) expectClose(result.tieParameter?.logNu, at[tie] ?? Number.NaN, near, 'log ν');
    }),
    { seed: 32, numRuns: 20 },
  );
  expect(compared).toBe(20);
});
