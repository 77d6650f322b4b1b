import { expect, test } from 'vitest';
import { bradleyTerry } from '../../stats/bradley-terry';
import type { Comparison } from '../../stats/comparisons';
import { listenerBootstrap } from '../../stats/listener-bootstrap';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused } from './support';

const exact = { relative: 1e-12, absolute: 1e-12 };

test('three listeners: percentile limits and standard error by writing out all 27 panels', () => {
  const own = [0, 1, 5];
  const all = own.flatMap((a) => own.flatMap((b) => own.map((c) => (a + b + c) / 3)));
  const mean = all.reduce((sum, value) => sum + value, 0) / all.length;
  const spread = Math.sqrt(all.reduce((sum, value) => sum + (value - mean) ** 2, 0) / all.length);
  const { estimates } = listenerBootstrap({
    statistic: 'mean',
    listeners: own.map((value) => [value, value]),
    resamples: 20_000,
    level: 0.9,
    method: 'percentile',
  });
  const [got] = estimates;
  expect(got).toMatchObject({ name: 'mean', estimate: 2 });
  expectClose(got?.standardError, spread, { relative: 0.03, absolute: 0 }, 'standard error');
  // The panel of three zeros has probability 1/27, those up to 1/3 together 4/27: the 5 % point is 1/3.
  expectClose(got?.lower, 1 / 3, exact, 'lower');
  // From above: 5 has 1/27, (5 + 5 + 1)/3 three more: the 95 % point is 11/3.
  expectClose(got?.upper, 11 / 3, exact, 'upper');
});

test('each listener weighs the same however many answers there are', () => {
  const { estimates } = listenerBootstrap({ statistic: 'share', listeners: [[1, 1, 1, 1], [0]], resamples: 100 });
  expect(estimates[0]?.estimate).toBe(0.5);
});

test('the same seed gives the same digits, another seed others', () => {
  const run = (seed: number) =>
    listenerBootstrap({ statistic: 'mean', listeners: [[1], [2.5], [4], [7], [1.5]], resamples: 500, seed });
  expect(run(1)).toEqual(run(1));
  expect(run(1)).not.toEqual(run(2));
});

test('everyone the same: no spread, and the interval is the estimate', () => {
  for (const method of ['percentile', 'bca'] as const) {
    const listeners = [
      [1, 0],
      [1, 0],
      [1, 0],
    ];
    const { estimates } = listenerBootstrap({ statistic: 'share', listeners, resamples: 200, method });
    expect(estimates).toEqual([{ name: 'share', estimate: 0.5, lower: 0.5, upper: 0.5, standardError: 0 }]);
  }
});

test('bca shifts with the skew of the data, percentile and bca agree without any', () => {
  const run = (values: number[], method: 'percentile' | 'bca') =>
    listenerBootstrap({ statistic: 'mean', listeners: values.map((value) => [value]), method, resamples: 20_000 })
      .estimates[0] ?? { lower: Number.NaN, upper: Number.NaN };
  const even = Array.from({ length: 41 }, (_, i) => i - 20);
  expect(Math.abs(run(even, 'bca').lower - run(even, 'percentile').lower)).toBeLessThan(0.3);
  const skewed = Array.from({ length: 20 }, (_, i) => Math.exp(i / 5));
  expect(run(skewed, 'bca').lower).toBeGreaterThan(run(skewed, 'percentile').lower);
  expect(run(skewed, 'bca').upper).toBeGreaterThan(run(skewed, 'percentile').upper);
});

test('95 % intervals of a mean hold the truth about as often as they say', () => {
  const random = seededRandom('coverage');
  let held = 0;
  const studies = 300;
  for (let study = 0; study < studies; study++) {
    const listeners = Array.from({ length: 25 }, () => [random.uniform()]);
    const { estimates } = listenerBootstrap({ statistic: 'mean', listeners, resamples: 400, seed: study });
    const { lower = 1, upper = 0 } = estimates[0] ?? {};
    if (lower <= 0.5 && upper >= 0.5) held++;
  }
  expect(held / studies).toBeGreaterThan(0.89);
  expect(held / studies).toBeLessThan(0.98);
});

const items = ['A', 'B', 'C', 'D', 'E', 'F'];
/** Invented listeners, each with every pair once or more. */
function panel(listeners: number, answers: number, names = items): Comparison[][] {
  const random = seededRandom('panel');
  return Array.from({ length: listeners }, () =>
    names.flatMap((first, i) =>
      names.slice(i + 1).map((second, j) => {
        const share = 1 / (1 + Math.exp(-0.4 * (j + 1)));
        const firstWins = Array.from({ length: answers }, () => random.uniform() < share).filter(Boolean).length;
        return { first, second, firstWins, secondWins: answers - firstWins };
      }),
    ),
  );
}

test('Bradley–Terry: 10,000 panels of 40 listeners and 6 items; estimates are those of the whole panel', () => {
  const listeners = panel(40, 1);
  const { estimates, resamples, separated } = listenerBootstrap({ statistic: 'bradley-terry', listeners });
  const whole = bradleyTerry({ items, comparisons: listeners.flat() });
  expect([resamples, separated]).toEqual([10_000, 0]);
  for (const [i, { name, estimate, lower, upper, standardError }] of estimates.entries()) {
    expect(name).toBe(items[i]);
    expectClose(estimate, whole.items[i]?.logWorth ?? Number.NaN, { relative: 1e-8, absolute: 1e-8 }, name);
    expect(lower).toBeLessThan(estimate);
    expect(upper).toBeGreaterThan(estimate);
    // Independent answers: resampling listeners must come near the model's own standard error.
    expectClose(standardError, whole.items[i]?.standardError ?? Number.NaN, { relative: 0.4, absolute: 0 }, name);
  }
});

test('listeners who repeat themselves get wider intervals than their answers would if counted one by one', () => {
  const listeners = panel(12, 1, ['A', 'B', 'C']).map((rows) =>
    rows.map((row) => ({ ...row, firstWins: 5 * row.firstWins, secondWins: 5 * row.secondWins })),
  );
  const { estimates } = listenerBootstrap({ statistic: 'bradley-terry', listeners, resamples: 2000 });
  const whole = bradleyTerry({ items: ['A', 'B', 'C'], comparisons: listeners.flat() });
  expect(estimates[0]?.standardError).toBeGreaterThan(1.5 * (whole.items[0]?.standardError ?? Number.NaN));
});

test('panels drawn anew that separate are counted and kept at the far end', () => {
  const row = (firstWins: number) => [{ first: 'A', second: 'B', firstWins, secondWins: 1 - firstWins }];
  const listeners = [row(1), row(1), row(1), row(1), row(0)];
  const { separated, estimates } = listenerBootstrap({
    statistic: 'bradley-terry',
    listeners,
    resamples: 4000,
    method: 'percentile',
  });
  // The one who disagrees is left out of a panel with probability (4/5)^5 = 0.328.
  expect(separated / 4000).toBeGreaterThan(0.29);
  expect(separated / 4000).toBeLessThan(0.37);
  // Five to none, with half a win added: log(5.5/0.5)/2.
  expectClose(estimates[0]?.upper, Math.log(11) / 2, { relative: 1e-8, absolute: 0 }, 'upper');
});

test('ties, order effect and probit: estimates are those of the whole panel under the same model', () => {
  const random = seededRandom('models');
  const listeners = Array.from({ length: 15 }, () =>
    ['A', 'B', 'C'].flatMap((first) =>
      ['A', 'B', 'C'].flatMap((second) => {
        if (first === second) return [];
        const answer = random.below(first < second ? 4 : 3);
        return {
          first,
          second,
          firstWins: Number(answer > 1),
          secondWins: Number(answer === 1),
          ties: Number(!answer),
        };
      }),
    ),
  );
  const models = [{ ties: 'davidson' }, { orderEffect: true }, { ties: 'davidson', orderEffect: true }] as const;
  for (const model of [...models, { link: 'probit', orderEffect: true, ties: 'half' } as const]) {
    const { estimates } = listenerBootstrap({ statistic: 'bradley-terry', listeners, resamples: 1000, ...model });
    const whole = bradleyTerry({ items: ['A', 'B', 'C'], comparisons: listeners.flat(), ...model });
    for (const [i, { estimate, standardError }] of estimates.entries()) {
      expectClose(estimate, whole.items[i]?.logWorth ?? Number.NaN, { relative: 1e-8, absolute: 1e-8 }, 'estimate');
      expectClose(standardError, whole.items[i]?.standardError ?? Number.NaN, { relative: 0.5, absolute: 0 }, 'error');
    }
  }
});

test('a panel without a tie has the worths of its wins, as Davidson’s model has them when ties have no weight', () => {
  const row = (firstWins: number, secondWins: number, ties: number) => [
    { first: 'A', second: 'B', firstWins, secondWins, ties },
  ];
  const listeners = [row(3, 1, 1), row(2, 1, 0), row(2, 1, 0), row(1, 2, 0)];
  const run = (ties: 'none' | 'davidson') =>
    listenerBootstrap({ statistic: 'bradley-terry', listeners, ties, resamples: 1000 });
  // Two items: with ties modelled or left out the log odds are those of the wins.
  for (const [i, { lower, upper, standardError }] of run('none').estimates.entries()) {
    const other = run('davidson').estimates[i];
    expectClose(other?.lower, lower, { relative: 1e-8, absolute: 1e-8 }, 'lower');
    expectClose(other?.upper, upper, { relative: 1e-8, absolute: 1e-8 }, 'upper');
    expectClose(other?.standardError, standardError, { relative: 1e-8, absolute: 1e-8 }, 'standard error');
  }
  expect(run('davidson').separated).toBe(0);
});

test('an order that the design can’t tell from worth is refused', () => {
  const rows = [{ first: 'A', second: 'B', firstWins: 2, secondWins: 1 }];
  const input = { statistic: 'bradley-terry' as const, listeners: [rows, rows], orderEffect: true };
  expectRefused(() => listenerBootstrap(input), 'not-identified', 'orderEffect');
  expectRefused(() => listenerBootstrap({ ...input, link: 'probit', ties: 'davidson' }), 'inconsistent', 'ties');
});

test('a whole panel that separates is refused as bradleyTerry refuses it, or fitted with half a win', () => {
  const rows = [{ first: 'A', second: 'B', firstWins: 2, secondWins: 0 }];
  const input = { statistic: 'bradley-terry' as const, listeners: [rows, rows], resamples: 100 };
  expectRefused(() => listenerBootstrap(input), 'separated', 'listeners');
  const marked = listenerBootstrap({ ...input, halfWin: true });
  expectClose(marked.estimates[0]?.estimate, Math.log(9) / 2, { relative: 1e-8, absolute: 0 }, 'estimate');
  const apart = [...rows, { first: 'C', second: 'D', firstWins: 1, secondWins: 1 }];
  expectRefused(() => listenerBootstrap({ ...input, listeners: [rows, apart] }), 'islands', 'listeners');
});

test('one listener, an empty one, or a figure out of range is refused', () => {
  expectRefused(() => listenerBootstrap({ statistic: 'mean', listeners: [[1]] }), 'not-enough-data', 'listeners');
  expectRefused(() => listenerBootstrap({ statistic: 'mean', listeners: [[1], []] }), 'not-enough-data', 'listeners.1');
  expectRefused(
    () => listenerBootstrap({ statistic: 'share', listeners: [[1], [2]] }),
    'out-of-range',
    'listeners.1.0',
  );
  expectRefused(
    () => listenerBootstrap({ statistic: 'mean', listeners: [[1], [1e308]] }),
    'out-of-range',
    'listeners.1.0',
  );
  const odd = { statistic: 'mean' as const, listeners: [[1], [2]], items: ['A', 'B'] };
  expectRefused(() => listenerBootstrap(odd), 'unknown-option', 'items');
});

test('a row that names no two items is refused as bradleyTerry refuses it, whether items are given or not', () => {
  const refuse = (row: unknown, code: 'missing' | 'wrong-type' | 'inconsistent', path: string, sound: object[] = []) =>
    expectRefused(
      () => listenerBootstrap({ statistic: 'bradley-terry', listeners: [[...sound, row], [row]] } as never),
      code,
      path,
    );
  const wins = { firstWins: 1, secondWins: 1 };
  refuse({ first: 'A' }, 'missing', 'listeners.0.0.second');
  refuse(3, 'wrong-type', 'listeners.0.0');
  refuse(null, 'wrong-type', 'listeners.0.0');
  refuse({ first: 'A', second: 'A', ...wins }, 'inconsistent', 'listeners.0.0.second');
  refuse({ first: 'A', second: '', ...wins }, 'wrong-type', 'listeners.0.0.second');
  refuse({ first: 1, second: 2, ...wins }, 'wrong-type', 'listeners.0.0.first');
  const sound = [{ first: 'A', second: 'B', ...wins }];
  refuse({ first: 'A', second: 'A', ...wins }, 'inconsistent', 'listeners.0.1.second', sound);
  refuse({ first: 'A', second: '', ...wins }, 'wrong-type', 'listeners.0.1.second', sound);
});

type Answers = [first: string, second: string, firstWins: number, secondWins: number];
const answers = (...own: Answers[]) =>
  own.map(([first, second, firstWins, secondWins]) => ({ first, second, firstWins, secondWins }));

test('panels far from the whole one are fitted all the same', () => {
  const listeners = [answers(['A', 'B', 1, 60]), answers(['B', 'A', 1, 60]), answers(['A', 'B', 60, 1])];
  // Of 27 panels 9 hold one order only, too many for any interval; with a second one like it each, one in five.
  const input = { statistic: 'bradley-terry' as const, orderEffect: true, resamples: 1000 };
  expectRefused(() => listenerBootstrap({ ...input, listeners }), 'not-enough-data', 'listeners');
  const six = [...listeners, ...listeners];
  const { estimates, separated, redrawn } = listenerBootstrap({ ...input, listeners: six });
  const whole = bradleyTerry({ items: ['A', 'B'], orderEffect: true, comparisons: six.flat() });
  expectClose(estimates[0]?.estimate, whole.items[0]?.logWorth ?? Number.NaN, exact, 'estimate');
  expect(estimates[0]?.lower).toBeLessThan(estimates[0]?.estimate ?? Number.NaN);
  expect(estimates[0]?.upper).toBeGreaterThan(estimates[0]?.estimate ?? Number.NaN);
  // No B before A with probability (2/3)^6 = 0.088, no A before B with (1/3)^6 = 0.001: each is drawn anew.
  expect(redrawn / (1000 + redrawn)).toBeGreaterThan(0.06);
  expect(redrawn / (1000 + redrawn)).toBeLessThan(0.1);
  expect(separated).toBe(0);
});

test('panels that say nothing on the worths make no interval look short: drawn anew, and beyond a tenth refused', () => {
  const base = { statistic: 'bradley-terry' as const, resamples: 100 };
  const silent = [
    { listeners: [answers(['A', 'B', 1, 10]), answers(['B', 'A', 5, 5])], orderEffect: true },
    { listeners: [answers(['A', 'B', 1, 1]), answers(['C', 'B', 3, 1])] },
    { listeners: [answers(['A', 'B', 0, 0]), answers(['A', 'B', 3, 3])] },
  ];
  for (const input of silent) {
    for (const method of ['percentile', 'bca'] as const) {
      expectRefused(() => listenerBootstrap({ ...base, ...input, method }), 'not-enough-data', 'listeners');
    }
  }
  // One of three listeners without an answer: a panel of that one alone has probability 1/27.
  const three = [answers(['A', 'B', 0, 0]), answers(['A', 'B', 3, 2]), answers(['A', 'B', 1, 4])];
  const { estimates, separated, redrawn } = listenerBootstrap({
    ...base,
    listeners: three,
    resamples: 4000,
    method: 'percentile',
  });
  expect(redrawn / (4000 + redrawn)).toBeGreaterThan(0.028);
  expect(redrawn / (4000 + redrawn)).toBeLessThan(0.047);
  expect(separated).toBe(0);
  // The ends are the panels of one kind, 7/26 each: none at zero, where half wins would have put the silent ones.
  expectClose(estimates[0]?.lower, Math.log(1 / 4) / 2, { relative: 1e-8, absolute: 0 }, 'lower');
  expectClose(estimates[0]?.upper, Math.log(3 / 2) / 2, { relative: 1e-8, absolute: 0 }, 'upper');
});

test('separated counts resamples only, not the panels with one listener left out', () => {
  const row = (firstWins: number) => answers(['A', 'B', firstWins, 1 - firstWins]);
  const listeners = [row(1), row(1), row(1), row(1), row(0)];
  const run = (method: 'bca' | 'percentile') =>
    listenerBootstrap({ statistic: 'bradley-terry', listeners, resamples: 400, method }).separated;
  expect(run('bca')).toBe(run('percentile'));
});
