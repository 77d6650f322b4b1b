import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BradleyTerryInput, type BradleyTerryResult, bradleyTerry } from '../../stats/bradley-terry';
import type { Comparison } from '../../stats/comparisons';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose } from './support';

const near = { relative: 1e-8, absolute: 1e-8 };
const davidson = { ties: 'davidson' as const };
const order = { orderEffect: true };
const models = [davidson, order, { ...davidson, ...order }, { ...order, link: 'probit' as const }];
const names = ['A', 'B', 'C', 'D'];

/** Every pair in both orders, each with every outcome, so that all models have an estimate. */
const panel = fc
  .tuple(fc.integer({ min: 2, max: 4 }), fc.array(fc.integer({ min: 1, max: 25 }), { minLength: 36, maxLength: 36 }))
  .map(([n, counts]) => {
    const items = names.slice(0, n);
    let at = 0;
    const next = () => counts[at++] ?? 1;
    const comparisons = items.flatMap((first) =>
      items
        .filter((second) => second !== first)
        .map((second) => ({ first, second, firstWins: next(), secondWins: next(), ties: next() })),
    );
    return { items, comparisons };
  });

/** Probabilities of a row's outcomes, from the definition. */
function expectedShares(result: BradleyTerryResult, { first, second }: Comparison): [number, number, number] {
  const worth = (name: string) => result.items.find(({ item }) => item === name)?.worth ?? Number.NaN;
  const gamma = Math.exp(-(result.orderEffect?.logWorth ?? 0));
  const weights = [
    worth(first),
    gamma * worth(second),
    (result.tieParameter?.nu ?? 0) * Math.sqrt(worth(first) * worth(second)),
  ] as const;
  const total = weights[0] + weights[1] + weights[2];
  return [weights[0] / total, weights[1] / total, weights[2] / total];
}

const swapped = ({ first, second, firstWins, secondWins, ties }: Comparison): Comparison => ({
  first: second,
  second: first,
  firstWins: secondWins,
  secondWins: firstWins,
  ties,
});

test('at the maximum each item’s score, the ties, and the wins of the first are as many as expected', () => {
  fc.assert(
    fc.property(panel, fc.constantFrom(davidson, order, { ...davidson, ...order }), (input, model) => {
      const result = bradleyTerry({ ...input, ...model });
      const tied = 'ties' in model;
      const score = new Map(input.items.map((item) => [item, 0]));
      let [ties, seconds, all] = [0, 0, 0];
      for (const row of input.comparisons) {
        const [p, q, t] = expectedShares(result, row);
        const seen = tied ? (row.ties ?? 0) : 0;
        const answers = row.firstWins + row.secondWins + seen;
        const half = (seen - answers * t) / 2;
        score.set(row.first, (score.get(row.first) ?? 0) + row.firstWins - answers * p + half);
        score.set(row.second, (score.get(row.second) ?? 0) + row.secondWins - answers * q + half);
        ties += seen - answers * t;
        seconds += row.secondWins - answers * q;
        all += answers;
      }
      const balanced = { relative: 0, absolute: 1e-9 * all };
      for (const [item, excess] of score) expectClose(excess, 0, balanced, item);
      if (tied) expectClose(ties, 0, balanced, 'ties');
      if ('orderEffect' in model) expectClose(seconds, 0, balanced, 'wins of the second');
    }),
    { seed: 20, numRuns: 80 },
  );
});

test('swapping all sides turns the order effect round and changes nothing else but the weight of a tie beside it', () => {
  fc.assert(
    fc.property(panel, fc.constantFrom(...models), (input, model) => {
      const straight = bradleyTerry({ ...input, ...model });
      const turned = bradleyTerry({ ...input, comparisons: input.comparisons.map(swapped), ...model });
      const effect = straight.orderEffect?.logWorth ?? 0;
      straight.items.forEach(({ logWorth, standardError }, i) => {
        expectClose(turned.items[i]?.logWorth, logWorth, near, 'log worth');
        expectClose(turned.items[i]?.standardError, standardError, near, 'standard error');
      });
      expectClose(turned.logLik, straight.logLik, near, 'logLik');
      if (straight.orderEffect) {
        expectClose(turned.orderEffect?.logWorth, -effect, near, 'order');
        expectClose(turned.orderEffect?.standardError, straight.orderEffect.standardError, near, 'its error');
        expectClose(turned.orderEffect?.p, straight.orderEffect.p, near, 'its p');
      }
      // Weights πᵢ, γπⱼ, ν√(πᵢπⱼ) read from the other side are πⱼ, πᵢ/γ, (ν/γ)√(πᵢπⱼ).
      if (straight.tieParameter)
        expectClose(turned.tieParameter?.logNu, straight.tieParameter.logNu + effect, near, 'log nu');
    }),
    { seed: 21, numRuns: 80 },
  );
});

test('splitting rows changes estimates and errors in nothing', () => {
  fc.assert(
    fc.property(panel, fc.constantFrom(...models), (input, model) => {
      const straight = bradleyTerry({ ...input, ...model });
      const split = input.comparisons.flatMap((row) => [
        { ...row, firstWins: 0, ties: 1 },
        { ...row, secondWins: 0, ties: (row.ties ?? 0) - 1 },
      ]);
      const other = bradleyTerry({ ...input, ...model, comparisons: split });
      for (const [i, { logWorth, standardError }] of straight.items.entries()) {
        expectClose(other.items[i]?.logWorth, logWorth, near, 'log worth');
        expectClose(other.items[i]?.standardError, standardError, near, 'standard error');
      }
      for (const field of ['orderEffect', 'tieParameter'] as const) {
        expectClose(other[field]?.standardError ?? 0, straight[field]?.standardError ?? 0, near, field);
      }
    }),
    { seed: 22, numRuns: 40 },
  );
});

test('a parameter more never fits worse, and costs a degree of freedom', () => {
  fc.assert(
    fc.property(panel, fc.constantFrom<object>({}, davidson, { link: 'probit' }), (input, model) => {
      const without = bradleyTerry({ ...input, ...model });
      const within = bradleyTerry({ ...input, ...model, ...order });
      expect(within.logLik).toBeGreaterThanOrEqual(without.logLik - 1e-9);
      expectClose(without.deviance - within.deviance, 2 * (within.logLik - without.logLik), near, 'deviance');
      expect(within.degreesOfFreedom).toBe(without.degreesOfFreedom - 1);
    }),
    { seed: 23, numRuns: 60 },
  );
});

test('two items, Davidson: ν is ties over the root of the wins, with the errors that have formulas', () => {
  const comparisons = [{ first: 'A', second: 'B', firstWins: 12, secondWins: 5, ties: 7 }];
  const { tieParameter, pairs, deviance, degreesOfFreedom } = bradleyTerry({
    items: ['A', 'B'],
    comparisons,
    ...davidson,
  });
  expectClose(tieParameter?.nu, 7 / Math.sqrt(60), near, 'nu');
  expectClose(tieParameter?.logNu, Math.log(7 / Math.sqrt(60)), near, 'log nu');
  // Delta method: log ν = log t − (log a + log b)/2 of multinomial counts.
  expectClose(tieParameter?.standardError, Math.sqrt(1 / 7 + (1 / 12 + 1 / 5) / 4), near, 'error of log nu');
  expectClose(pairs[0]?.difference, Math.log(12 / 5), near, 'difference');
  expectClose(pairs[0]?.standardError, Math.sqrt(1 / 12 + 1 / 5), near, 'its error');
  expectClose(deviance, 0, near, 'deviance');
  expect(degreesOfFreedom).toBe(0);
});

test('two items in both orders: being first is worth the mean of the log odds of the first', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 14, secondWins: 4 },
    { first: 'B', second: 'A', firstWins: 9, secondWins: 6 },
  ];
  const { orderEffect, pairs } = bradleyTerry({ items: ['A', 'B'], comparisons, ...order });
  const odds = [Math.log(14 / 4), Math.log(9 / 6)] as const;
  expectClose(orderEffect?.logWorth, (odds[0] + odds[1]) / 2, near, 'order');
  expectClose(pairs[0]?.difference, (odds[0] - odds[1]) / 2, near, 'difference');
  const error = Math.sqrt(1 / 14 + 1 / 4 + 1 / 9 + 1 / 6) / 2;
  expectClose(orderEffect?.standardError, error, near, 'error of order');
  expectClose(pairs[0]?.standardError, error, near, 'error of the difference');
  expect(orderEffect?.p).toBeGreaterThan(0.01);
  expect(orderEffect?.p).toBeLessThan(0.05);
});

test('ties and order together: no point of a grid about the estimate is more likely', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 2, secondWins: 1, ties: 2 },
    { first: 'B', second: 'A', firstWins: 3, secondWins: 1, ties: 1 },
  ];
  const { pairs, orderEffect, tieParameter } = bradleyTerry({
    items: ['A', 'B'],
    comparisons,
    ...davidson,
    ...order,
  });
  // The likelihood written out, of worths e^d and 1.
  const logLik = (d: number, gamma: number, nu: number) =>
    comparisons.reduce((sum, row) => {
      const [own, other] = row.first === 'A' ? [Math.exp(d), 1] : [1, Math.exp(d)];
      const weights = [own, gamma * other, nu * Math.sqrt(own * other)] as const;
      const total = Math.log(weights[0] + weights[1] + weights[2]);
      return (
        sum +
        row.firstWins * (Math.log(weights[0]) - total) +
        row.secondWins * (Math.log(weights[1]) - total) +
        row.ties * (Math.log(weights[2]) - total)
      );
    }, 0);
  let best = { d: 0, gamma: 0, nu: 0, logLik: Number.NEGATIVE_INFINITY };
  const grid = Array.from({ length: 61 }, (_, k) => (k - 30) / 15);
  for (const d of grid) {
    for (const g of grid) {
      for (const t of grid) {
        const at = logLik(d, Math.exp(g), Math.exp(t));
        if (at > best.logLik) best = { d, gamma: g, nu: t, logLik: at };
      }
    }
  }
  const step = { relative: 0, absolute: 1 / 15 };
  const found = [pairs[0]?.difference ?? 0, -(orderEffect?.logWorth ?? 0), tieParameter?.logNu ?? 0] as const;
  expectClose(found[0], best.d, step, 'difference');
  expectClose(found[1], best.gamma, step, 'log gamma');
  expectClose(found[2], best.nu, step, 'log nu');
  expect(logLik(found[0], Math.exp(found[1]), Math.exp(found[2]))).toBeGreaterThan(best.logLik);
});

const truth = { worths: [0.6, 0.1, -0.2, -0.5], gamma: Math.log(0.7), nu: Math.log(0.8) };

/** Each pair in both orders, answers drawn from the truth. */
function drawn(random: ReturnType<typeof seededRandom>, answers: number, tied: boolean): Comparison[] {
  return names.flatMap((first, i) =>
    names.flatMap((second, j) => {
      if (i === j) return [];
      const [own, other] = [truth.worths[i] ?? 0, truth.worths[j] ?? 0];
      const weights = [
        Math.exp(own),
        Math.exp(truth.gamma + other),
        tied ? Math.exp(truth.nu + (own + other) / 2) : 0,
      ] as const;
      const counts = [0, 0, 0] as [number, number, number];
      for (let k = 0; k < answers; k++) {
        const u = random.uniform() * (weights[0] + weights[1] + weights[2]);
        counts[u < weights[0] ? 0 : u < weights[0] + weights[1] ? 1 : 2]++;
      }
      return [{ first, second, firstWins: counts[0], secondWins: counts[1], ties: counts[2] }];
    }),
  );
}

test('planted worths, order effect and weight of ties are found again; errors are the spread of estimates', () => {
  const random = seededRandom('planted');
  const studies = 400;
  const figures = Array.from({ length: studies }, () => {
    const result = bradleyTerry({ items: names, comparisons: drawn(random, 40, true), ...davidson, ...order });
    return [
      ...result.items.map(({ logWorth, standardError }) => [logWorth, standardError]),
      [result.orderEffect?.logWorth, result.orderEffect?.standardError],
      [result.tieParameter?.logNu, result.tieParameter?.standardError],
    ] as [number, number][];
  });
  const planted = [...truth.worths, -truth.gamma, truth.nu];
  planted.forEach((value, k) => {
    const estimates = figures.map((study) => study[k]?.[0] ?? Number.NaN);
    const mean = estimates.reduce((a, b) => a + b, 0) / studies;
    const spread = Math.sqrt(estimates.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (studies - 1));
    const error = figures.reduce((sum, study) => sum + (study[k]?.[1] ?? 0), 0) / studies;
    // Four standard errors of the mean, and of a standard deviation (1/√(2·400) = 3.5 %).
    expectClose(mean, value, { relative: 0, absolute: (4 * spread) / Math.sqrt(studies) }, `estimate ${k}`);
    expectClose(error, spread, { relative: 0.14, absolute: 0 }, `error ${k}`);
  });
});

test('a planted order effect is found, and leaves a misfit where the model lacks it', () => {
  const comparisons = drawn(seededRandom('misfit'), 400, false);
  const input: BradleyTerryInput = { items: names, comparisons };
  const { orderEffect, deviance, degreesOfFreedom } = bradleyTerry({ ...input, ...order });
  expect(orderEffect?.p).toBeLessThan(1e-6);
  expect(orderEffect?.logWorth).toBeGreaterThan(0.2);
  expect(deviance).toBeLessThan(3 * degreesOfFreedom);
  expect(bradleyTerry(input).deviance).toBeGreaterThan(deviance + 50);
});

test('half a win with an order effect or ties goes to every outcome that was asked for', () => {
  const comparisons = [{ first: 'A', second: 'B', firstWins: 3, secondWins: 0, ties: 0 }];
  const marked = bradleyTerry({ items: ['A', 'B'], comparisons, ...davidson, halfWin: true });
  expectClose(marked.pairs[0]?.difference, Math.log(7), near, 'difference');
  expectClose(marked.tieParameter?.nu, 0.5 / Math.sqrt(3.5 * 0.5), near, 'nu');
  const both = [...comparisons, { first: 'B', second: 'A', firstWins: 2, secondWins: 0 }];
  const ordered = bradleyTerry({ items: ['A', 'B'], comparisons: both, ...order, halfWin: true });
  expectClose(ordered.orderEffect?.logWorth, (Math.log(7) + Math.log(5)) / 2, near, 'order');
});

test('ties none and half go with an order effect', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 6, secondWins: 2, ties: 4 },
    { first: 'B', second: 'A', firstWins: 5, secondWins: 3, ties: 2 },
  ];
  const effect = (ties: 'none' | 'half') =>
    bradleyTerry({ items: ['A', 'B'], comparisons, ties, ...order }).orderEffect?.logWorth;
  expectClose(effect('none'), (Math.log(6 / 2) + Math.log(5 / 3)) / 2, near, 'none');
  expectClose(effect('half'), (Math.log(8 / 4) + Math.log(6 / 4)) / 2, near, 'half');
});

test('probit: the scale is in standard deviations of a difference, and has no ratios', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 841_344_746, secondWins: 158_655_254 },
    { first: 'B', second: 'A', firstWins: 158_655_254, secondWins: 841_344_746 },
  ];
  const { pairs, items, tieParameter, orderEffect } = bradleyTerry({
    items: ['A', 'B'],
    comparisons,
    link: 'probit',
    ...order,
  });
  // Φ(1) = 0.841344746…, as every table of the normal curve has it.
  expectClose(pairs[0]?.difference, 1, { relative: 1e-8, absolute: 0 }, 'difference');
  expectClose(orderEffect?.logWorth, 0, { relative: 0, absolute: 1e-9 }, 'order');
  expect(orderEffect?.p).toBeGreaterThan(0.99);
  expect(items.map(({ worth }) => worth)).toEqual([null, null]);
  expect(tieParameter).toBe(null);
});

test('extreme counts end at the maximum in every model', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 1e12, secondWins: 1, ties: 1 },
    { first: 'B', second: 'A', firstWins: 1e6, secondWins: 1e12, ties: 1e3 },
    { first: 'B', second: 'C', firstWins: 1, secondWins: 1, ties: 1e9 },
    { first: 'C', second: 'B', firstWins: 3, secondWins: 1, ties: 0 },
  ];
  for (const model of [{}, { link: 'probit' as const }, ...models]) {
    const { logLik, pairs } = bradleyTerry({ items: ['A', 'B', 'C'], comparisons, ...model });
    expect(Number.isFinite(logLik)).toBe(true);
    for (const { standardError } of pairs) expect(standardError).toBeGreaterThan(0);
  }
});
