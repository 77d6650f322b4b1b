import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { anovaBlocks } from '../../stats/anova-blocks';
import { normalQuantile } from '../../stats/distributions';
import { type MixedModelInput, type MixedModelResult, mixedModel } from '../../stats/mixed-model';
import { pairedT } from '../../stats/paired-t';
import { seededRandom } from '../../stats/seeded-random';
import { denseDeviance } from './mixed/dense';
import { expectClose, expectRefused } from './support';

type Row = Record<string, string | number>;
const close = (relative: number, absolute = relative) => ({ relative, absolute });

/** Standard normal draws, for data that are made up from known parameters. */
function draws(seed: number | string): () => number {
  const random = seededRandom(seed);
  return () => normalQuantile(Math.min(1 - 1e-12, Math.max(1e-12, random.uniform())));
}

/** Invented ratings of three samples by listeners in sessions, with gaps. */
function ratings(seed: number, listeners: number, sessions: number, gap: number, sd = [2, 1, 0.7]): Row[] {
  const normal = draws(seed);
  const random = seededRandom(`gaps ${seed}`);
  const rows: Row[] = [];
  for (let l = 0; l < listeners; l++) {
    const own = normal() * (sd[0] ?? 0);
    const slope = normal() * (sd[2] ?? 0);
    const tastes = [0, 1, 2].map(() => normal() * (sd[1] ?? 0));
    for (let s = 0; s < sessions; s++) {
      for (const [k, sample] of ['A', 'B', 'C'].entries()) {
        const liking = 5 + own + k + (tastes[k] ?? 0) + (slope + 0.3) * s + normal();
        if (random.uniform() >= gap) rows.push({ listener: `L${l}`, session: s, day: s, sample, liking });
      }
    }
  }
  return rows;
}

const model = (rows: Row[], more: Partial<MixedModelInput> = {}): MixedModelInput => ({
  rows,
  response: 'liking',
  fixed: ['sample'],
  random: [{ group: 'listener' }],
  ...more,
});

/** The covariance over σ² that a result's variances say, built row by row. */
function covariance(rows: Row[], { variance, residual }: MixedModelResult): number[][] {
  const level = (row: Row, group: string) =>
    group
      .split(':')
      .map((name) => row[name])
      .join(':');
  const multiplier = (row: Row, term: string) => (term === '(Intercept)' ? 1 : Number(row[term]));
  return rows.map((one, i) =>
    rows.map((other, j) => {
      let sum = i === j ? 1 : 0;
      for (const { group, terms, value } of variance) {
        if (level(one, group) !== level(other, group)) continue;
        const [a = '', b = a] = terms;
        const product = multiplier(one, a) * multiplier(other, b);
        sum +=
          (value / residual) * (terms.length === 1 ? product : product + multiplier(one, b) * multiplier(other, a));
      }
      return sum;
    }),
  );
}

const treatment = (row: Row) => [1, row.sample === 'B' ? 1 : 0, row.sample === 'C' ? 1 : 0];

describe.each(['reml', 'ml'] as const)('%s', (method) => {
  const variants: [string, Partial<MixedModelInput>][] = [
    ['one group', {}],
    ['nested', { random: [{ group: 'listener' }, { group: ['listener', 'session'] }] }],
    ['crossed', { random: [{ group: 'listener' }, { group: 'session' }, { group: ['listener', 'sample'] }] }],
    ['slopes that go along', { random: [{ group: 'listener', slopes: ['day'] }], covariates: ['day'] }],
    ['slopes apart', { random: [{ group: 'listener', slopes: ['day'], correlated: false }], covariates: ['day'] }],
    ['slopes alone', { random: [{ group: 'listener', slopes: ['day'], intercept: false }], covariates: ['day'] }],
  ];

  test.each(variants)(
    '%s: the likelihood is that of the definition, and no other variances have a greater one',
    (_, more) => {
      fc.assert(
        fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
          const rows = ratings(seed, 6, 3, 0.15);
          const result = mixedModel(model(rows, { ...more, method }));
          const dense = (of: MixedModelResult) =>
            denseDeviance(
              { x: rows.map(treatment), y: rows.map(({ liking }) => Number(liking)), h: covariance(rows, of) },
              method === 'reml',
            );
          const best = dense(result);
          expectClose(-2 * result.logLik, best, close(1e-9), 'deviance');
          result.variance.forEach(({ terms, value }, k) => {
            if (terms.length === 2) return;
            for (const times of [0.98, 1.02]) {
              // Covariances go along by the root, so that correlations stay.
              const changed = result.variance.map((row) => {
                if (row.group !== result.variance[k]?.group || !row.terms.includes(terms[0] ?? '')) return row;
                return { ...row, value: row.value * (row.terms.length === 1 ? times : Math.sqrt(times)) };
              });
              expect(dense({ ...result, variance: changed })).toBeGreaterThanOrEqual(best - 1e-8);
            }
            if (value > 0) return;
            const added = result.variance.map((row, j) => (j === k ? { ...row, value: 0.01 * result.residual } : row));
            expect(dense({ ...result, variance: added })).toBeGreaterThanOrEqual(best - 1e-8);
          });
        }),
        { seed: 33, numRuns: 12 },
      );
    },
  );
});

test('two variances by brute force: nothing on a grid of 576 points has a greater likelihood', () => {
  const rows = ratings(7, 4, 3, 0.3);
  const random = [{ group: 'listener' }, { group: ['listener', 'session'] }];
  const result = mixedModel(model(rows, { random }));
  const y = rows.map(({ liking }) => Number(liking));
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 24; i++) {
    for (let j = 0; j < 24; j++) {
      const variance = result.variance.map((row, k) => ({ ...row, value: ((k === 0 ? i : j) / 5) ** 2 }));
      const h = covariance(rows, { ...result, variance, residual: 1 });
      best = Math.min(best, denseDeviance({ x: rows.map(treatment), y, h }, true));
    }
  }
  expect(best).toBeGreaterThanOrEqual(-2 * result.logLik - 1e-9);
  expect(best).toBeLessThan(-2 * result.logLik + 0.05);
});

test('complete blocks: F is that of the analysis of variance, and two samples give the paired t', () => {
  const rows = ratings(11, 9, 1, 0);
  const scores = Array.from({ length: 9 }, (_, l) =>
    rows.filter(({ listener }) => listener === `L${l}`).map(({ liking }) => Number(liking)),
  );
  const [items] = anovaBlocks({ scores }).rows;
  const [term] = mixedModel(model(rows)).tests;
  expectClose(term?.f, items?.f ?? Number.NaN, close(1e-9), 'F');
  expectClose(term?.denominator, 16, close(1e-8), 'denominator');
  expectClose(term?.p, items?.p ?? Number.NaN, close(1e-7), 'p');
  const two = mixedModel(
    model(
      rows.filter(({ sample }) => sample !== 'C'),
      { compare: 'sample', level: 0.9 },
    ),
  );
  const column = (k: number) => scores.map((row) => row[k] ?? Number.NaN);
  const t = pairedT({ first: column(0), second: column(1), level: 0.9 });
  const [pair] = two.pairs ?? [];
  expectClose(pair?.difference, t.difference, close(1e-9), 'difference');
  for (const name of ['standardError', 't', 'p', 'lower', 'upper'] as const) {
    expectClose(pair?.[name], t[name], close(1e-7), name);
  }
  expectClose(pair?.degreesOfFreedom, t.degreesOfFreedom, close(1e-8), 'degrees of freedom');
});

test('without random terms it is the linear model: residual degrees of freedom, and one mean', () => {
  const rows = ratings(12, 5, 2, 0.1);
  const result = mixedModel(model(rows, { random: [] }));
  for (const one of result.fixed) expectClose(one.degreesOfFreedom, rows.length - 3, close(1e-9), one.term);
  expect(result.singular).toBe(false);
  const mean = mixedModel(model(rows, { random: [], fixed: [] }));
  const values = rows.map(({ liking }) => Number(liking));
  const average = values.reduce((sum, value) => sum + value, 0) / values.length;
  expectClose(mean.fixed[0]?.estimate, average, close(1e-12), 'mean');
  const squares = values.reduce((sum, value) => sum + (value - average) ** 2, 0);
  expectClose(mean.residual, squares / (values.length - 1), close(1e-12), 'variance');
  expect(mean.tests).toEqual([]);
});

const crossed: Partial<MixedModelInput> = {
  fixed: ['sample', 'day', ['sample', 'day']],
  covariates: ['day'],
  random: [{ group: 'listener', slopes: ['day'] }, { group: ['listener', 'sample'] }],
};

test('neither the order of rows nor names of levels nor the order of terms change a test', () => {
  const rows = ratings(21, 8, 4, 0.2);
  const straight = mixedModel(model(rows, { ...crossed, compare: 'sample' }));
  const named: Record<string, string> = { A: 'z', B: 'y', C: 'x' };
  const turned = mixedModel(
    model(
      [...rows].reverse().map((row) => ({ ...row, sample: named[row.sample as string] as string })),
      {
        ...crossed,
        fixed: [['day', 'sample'], 'day', 'sample'],
        random: [...(crossed.random ?? [])].reverse(),
        compare: 'sample',
      },
    ),
  );
  expectClose(turned.logLik, straight.logLik, close(1e-9), 'logLik');
  for (const { term, f, numerator, denominator } of straight.tests) {
    const key = term.split(':').sort().join();
    const same = turned.tests.find((one) => one.term.split(':').sort().join() === key);
    expect(same?.numerator).toBe(numerator);
    expectClose(same?.f, f, close(1e-7), term);
    // F's second degrees of freedom rest on which differences are taken one by one, though little.
    expectClose(same?.denominator, denominator, close(0.02), term);
  }
  for (const { a, b, difference, standardError, degreesOfFreedom } of straight.pairs ?? []) {
    const same = turned.pairs?.find((pair) => pair.a === named[b] && pair.b === named[a]);
    expectClose(same?.difference, -difference, close(1e-7), `${a} ${b}`);
    expectClose(same?.standardError, standardError, close(1e-7), `${a} ${b}`);
    expectClose(same?.degreesOfFreedom, degreesOfFreedom, close(1e-6), `${a} ${b}`);
  }
});

test('a covariate in other units, or counted from elsewhere, is the same model', () => {
  const rows = ratings(22, 8, 4, 0.1);
  const straight = mixedModel(model(rows, crossed));
  const moved = mixedModel(
    model(
      rows.map((row) => ({ ...row, day: 20_000 + 7 * Number(row.day) })),
      crossed,
    ),
  );
  const last = (result: MixedModelResult) => result.fixed.find(({ term }) => term === 'day');
  expectClose(last(moved)?.estimate, (last(straight)?.estimate ?? 0) / 7, close(1e-7), 'slope');
  expectClose(last(moved)?.degreesOfFreedom, last(straight)?.degreesOfFreedom ?? 0, close(1e-5), 'freedom');
  const slope = (result: MixedModelResult) => result.variance.find(({ terms }) => terms.join() === 'day')?.value;
  expectClose(slope(moved), (slope(straight) ?? 0) / 49, close(1e-5), 'variance of slopes');
  // The restricted likelihood counts covariates in their units: one column for each of day, and day by sample.
  expectClose(moved.logLik, straight.logLik - 3 * Math.log(7), close(1e-9), 'logLik');
});

test('pairs are compared at the covariate’s mean, wherever its origin lies', () => {
  const rows = ratings(23, 8, 4, 0.1);
  const of = (shift: number, times: number) =>
    mixedModel(
      model(
        rows.map((row) => ({ ...row, day: shift + times * Number(row.day) })),
        { ...crossed, compare: 'sample' },
      ),
    );
  const near = of(0, 1);
  // Milliseconds since 1970, some days apart.
  const far = of(1.7e12, 8.64e7);
  near.pairs?.forEach(({ difference, standardError, degreesOfFreedom, a, b }, k) => {
    expectClose(far.pairs?.[k]?.difference, difference, close(1e-6), `${a} ${b}`);
    expectClose(far.pairs?.[k]?.standardError, standardError, close(1e-6), `${a} ${b}`);
    expectClose(far.pairs?.[k]?.degreesOfFreedom, degreesOfFreedom, close(1e-4), `${a} ${b}`);
  });
  // The covariate itself and the interaction don't hang on the origin either; the samples at 0 do.
  for (const k of [1, 2]) expectClose(far.tests[k]?.f, near.tests[k]?.f ?? 0, close(1e-5), near.tests[k]?.term ?? '');
});

test('a response that a covariate tells nearly all of keeps its digits', () => {
  const rows = ratings(24, 6, 4, 0.1).map((row): Row & { x: number } => ({
    ...row,
    x: Number(row.day) + Number(String(row.listener)[1]) / 7,
  }));
  const of = (slope: number) =>
    mixedModel(
      model(
        rows.map((row) => ({ ...row, liking: Number(row.liking) + slope * row.x })),
        { fixed: ['sample', 'x'], covariates: ['x'] },
      ),
    );
  const [plain, steep] = [of(0), of(1e6)];
  expectClose(steep.residual, plain.residual, close(1e-8), 'residual');
  expectClose(steep.logLik, plain.logLik, close(1e-8), 'logLik');
  expectClose(
    (steep.fixed[3]?.estimate ?? 0) - 1e6,
    plain.fixed[3]?.estimate ?? 0,
    { relative: 0, absolute: 1e-8 },
    'x',
  );
});

describe('the greatest likelihood, where it has several tops', () => {
  /** Two groups that cross here and there, as many draws as rows. */
  const sparse = (seed: number, count: number): Row[] => {
    const [normal, random] = [draws(seed), seededRandom(`cells ${seed}`)];
    return Array.from({ length: count }, () => ({
      a: `a${random.below(6)}`,
      b: `b${random.below(6)}`,
      liking: normal(),
    }));
  };

  test('no model has a lower likelihood than the same with a term less', () => {
    let singular = 0;
    for (let seed = 0; seed < 150; seed++) {
      const input = (groups: string[]): MixedModelInput => ({
        rows: sparse(seed, 14 + (seed % 10)),
        response: 'liking',
        fixed: [],
        random: groups.map((group) => ({ group })),
        method: seed % 2 ? 'ml' : 'reml',
      });
      const whole = mixedModel(input(['a', 'b']));
      if (whole.singular) singular++;
      for (const less of [['a'], ['b'], []]) {
        expect(whole.logLik).toBeGreaterThanOrEqual(mixedModel(input(less)).logLik - 1e-8);
      }
    }
    expect(singular).toBeGreaterThan(30);
  });

  test('the higher of two tops, by brute force over both variances', () => {
    const rows = sparse(85, 19);
    const result = mixedModel({
      rows,
      response: 'liking',
      fixed: [],
      random: [{ group: 'a' }, { group: 'b' }],
      method: 'ml',
    });
    const y = rows.map(({ liking }) => Number(liking));
    let best = Number.POSITIVE_INFINITY;
    for (let i = 0; i < 30; i++) {
      for (let j = 0; j < 30; j++) {
        const variance = result.variance.map((row, k) => ({ ...row, value: ((k === 0 ? i : j) / 6) ** 2 }));
        const h = covariance(rows, { ...result, variance, residual: 1 });
        best = Math.min(best, denseDeviance({ x: rows.map(() => [1]), y, h }, false));
      }
    }
    expect(-2 * result.logLik).toBeLessThanOrEqual(best + 1e-9);
  });

  /** Listeners' lines cross near the mean day, where a variance of zero is a saddle and not the bottom. */
  const lines = (seed: number): Row[] => {
    const [normal, random] = [draws(seed), seededRandom(`gaps ${seed}`)];
    const rows: Row[] = [];
    for (let l = 0; l < 7; l++) {
      const slope = normal();
      for (let day = 0; day < 4; day++) {
        if (random.uniform() < 0.2) continue;
        rows.push({ listener: l, day, liking: slope * (day - 1.5) + 0.3 * normal() });
      }
    }
    return rows;
  };
  const line = (rows: Row[], random: MixedModelInput['random']) =>
    mixedModel({ rows, response: 'liking', fixed: ['day'], covariates: ['day'], random });

  test('no slope has a lower likelihood than the intercept alone, or than no covariance', () => {
    let singular = 0;
    for (let seed = 0; seed < 100; seed++) {
      const rows = lines(seed);
      const whole = line(rows, [{ group: 'listener', slopes: ['day'] }]);
      if (whole.singular) singular++;
      expect(whole.logLik).toBeGreaterThanOrEqual(line(rows, [{ group: 'listener' }]).logLik - 1e-8);
      const apart = line(rows, [{ group: 'listener', slopes: ['day'], correlated: false }]);
      expect(whole.logLik).toBeGreaterThanOrEqual(apart.logLik - 1e-8);
    }
    expect(singular).toBeGreaterThan(20);
  });

  test('a saddle is left: no covariance near by has a greater likelihood', () => {
    for (const seed of [15, 390, 698]) {
      const rows = lines(seed);
      const result = line(rows, [{ group: 'listener', slopes: ['day'] }]);
      const [intercept = 0, slope = 0, shared = 0] = result.variance.map(({ value }) => value / result.residual);
      const y = rows.map(({ liking }) => Number(liking));
      const deviance = ([a, b, c]: readonly number[]) => {
        const values = [a, b, c].map((value) => (value ?? 0) * result.residual);
        const variance = result.variance.map((row, k) => ({ ...row, value: values[k] ?? 0 }));
        return denseDeviance(
          { x: rows.map(({ day }) => [1, Number(day)]), y, h: covariance(rows, { ...result, variance }) },
          true,
        );
      };
      const best = deviance([intercept, slope, shared]);
      expectClose(best, -2 * result.logLik, close(1e-9), 'deviance');
      const middle = rows.reduce((sum, { day }) => sum + Number(day), 0) / rows.length;
      // Lines through a point a little off the middle take over part of the slopes' variance.
      for (const ratio of [0.02, 0.05, 0.1, 0.2, 0.4].flatMap((one) => [one, -one])) {
        for (const part of [0.25, 0.5, 1]) {
          const [less, more] = [1 - part, part * slope];
          const at = ratio - middle;
          const near = [less * intercept + more * at ** 2, slope, less * shared + more * at];
          expect(deviance(near)).toBeGreaterThanOrEqual(best - 1e-7);
        }
      }
    }
  });
});

test('a type III test is of equally weighted means, however unequal the numbers of rows', () => {
  // Sample B at home twice as often; in two places the samples differ by 1 and by 3, so by 2 on even weights.
  const normal = draws(5);
  const rows: Row[] = [];
  const cells: [string, string, number, number][] = [
    ['A', 'home', 0, 4],
    ['B', 'home', 1, 12],
    ['A', 'stage', 2, 9],
    ['B', 'stage', 5, 3],
  ];
  for (const [sample, place, mean, count] of cells) {
    const own = Array.from({ length: count }, () => normal());
    const centre = own.reduce((sum, value) => sum + value, 0) / count;
    for (const value of own) rows.push({ sample, place, liking: mean + value - centre });
  }
  const input = model(rows, { fixed: ['sample', 'place', ['sample', 'place']], random: [], compare: 'sample' });
  const { pairs, tests, residual } = mixedModel(input);
  expectClose(pairs?.[0]?.difference, -2, close(1e-10), 'difference of even means');
  const squared = (1 / 4) * residual * (1 / 4 + 1 / 12 + 1 / 9 + 1 / 3);
  expectClose(tests[0]?.f, 4 / squared, close(1e-9), 'F of the sample');
  expectClose(tests[2]?.f, 4 / (4 * squared), close(1e-9), 'F of the interaction');
});

test('planted parameters come back, and standard errors are the spread of the estimates', () => {
  const studies = 150;
  const found = Array.from({ length: studies }, (_, seed) =>
    mixedModel(
      model(ratings(1000 + seed, 12, 3, 0.1), {
        fixed: ['sample', 'day'],
        covariates: ['day'],
        random: [{ group: 'listener', slopes: ['day'], correlated: false }, { group: ['listener', 'sample'] }],
      }),
    ),
  );
  const mean = (of: (result: MixedModelResult) => number) => found.reduce((sum, one) => sum + of(one), 0) / studies;
  const variance = (k: number) => mean((result) => result.variance[k]?.value ?? Number.NaN);
  // Four standard errors of a mean of 150 variances, each with 11 degrees of freedom or more.
  expectClose(variance(0), 4, { relative: 0.14, absolute: 0 }, 'listeners');
  expectClose(variance(1), 0.49, { relative: 0.14, absolute: 0 }, 'slopes');
  expectClose(variance(2), 1, { relative: 0.14, absolute: 0 }, 'listeners by samples');
  expectClose(
    mean(({ residual }) => residual),
    1,
    { relative: 0.06, absolute: 0 },
    'residual',
  );
  for (const [k, planted] of [5, 1, 2, 0.3].entries()) {
    const estimates = found.map(({ fixed }) => fixed[k]?.estimate ?? Number.NaN);
    const centre = estimates.reduce((sum, value) => sum + value, 0) / studies;
    const spread = Math.sqrt(estimates.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (studies - 1));
    expect(Math.abs(centre - planted)).toBeLessThan((4 * spread) / Math.sqrt(studies));
    expectClose(
      mean(({ fixed }) => fixed[k]?.standardError ?? Number.NaN),
      spread,
      { relative: 0.24, absolute: 0 },
      'error',
    );
  }
  // At 5 % a true difference is left out of its interval about once in twenty.
  const missed = found.filter(({ fixed }) => !((fixed[1]?.lower ?? 0) <= 1 && (fixed[1]?.upper ?? 0) >= 1)).length;
  expect(missed).toBeGreaterThan(0);
  expect(missed).toBeLessThan(18);
});

describe('at the edges', () => {
  test('a variance at zero: said, and everything as without the term', () => {
    // Listeners whose means are closer together than the residual alone would put them.
    const rows = [3, 7, 4, 8, 5, 6, 6, 5].flatMap((liking, l) => [
      { listener: `L${l}`, sample: 'A', liking },
      { listener: `L${l}`, sample: 'B', liking: 12 - liking },
    ]);
    const result = mixedModel(model(rows));
    const without = mixedModel(model(rows, { random: [] }));
    expect(result.singular).toBe(true);
    expect(result.variance[0]).toMatchObject({ value: 0, standardDeviationOrCorrelation: 0 });
    expectClose(result.logLik, without.logLik, close(1e-9), 'logLik');
    result.fixed.forEach(({ standardError, degreesOfFreedom }, k) => {
      expectClose(standardError, without.fixed[k]?.standardError ?? 0, close(1e-7), 'error');
      expectClose(degreesOfFreedom, without.fixed[k]?.degreesOfFreedom ?? 0, close(1e-7), 'freedom');
    });
  });

  test('a variance is either at zero, and then exactly, or far from it', () => {
    const random = [{ group: 'listener' }, { group: 'session' }, { group: ['listener', 'sample'] }];
    const results = Array.from({ length: 60 }, (_, seed) =>
      mixedModel(model(ratings(seed, 5, 3, 0.1, [0.5, 0, 0]), { random })),
    );
    for (const { variance, residual, singular } of results) {
      const zeros = variance.filter(({ value }) => value === 0);
      expect(singular).toBe(zeros.length > 0);
      for (const { value } of variance) if (value > 0) expect(value / residual).toBeGreaterThan(1e-5);
    }
    const singular = results.filter((result) => result.singular).length;
    expect(singular).toBeGreaterThan(20);
    expect(singular).toBeLessThan(60);
  });

  test('a correlation of one is singular', () => {
    const normal = draws(1);
    const rows = Array.from({ length: 8 }, (_, l) => {
      const own = normal();
      return [0, 1, 2, 3].map((day) => ({ listener: l, day, liking: 5 + own * (2 + 3 * day) + 0.5 * normal() }));
    }).flat();
    const result = mixedModel(
      model(rows, { fixed: ['day'], covariates: ['day'], random: [{ group: 'listener', slopes: ['day'] }] }),
    );
    expect(result.singular).toBe(true);
    expectClose(result.variance[2]?.standardDeviationOrCorrelation, 1, close(1e-6), 'correlation');
  });

  test('no covariance with an effect that doesn’t vary has a correlation', () => {
    const rows = [0, 1, 2, 3, 4, 5].flatMap((l) =>
      [0, 1, 2, 3].map((day) => ({ listener: l, day, liking: ((l * 7 + day * 3) % 5) + (day % 2 ? l : -l) / 9 })),
    );
    const result = mixedModel(
      model(rows, { fixed: ['day'], covariates: ['day'], random: [{ group: 'listener', slopes: ['day'] }] }),
    );
    for (const { terms, standardDeviationOrCorrelation: shown } of result.variance) {
      if (terms.length === 2 && result.variance.some((one) => one.terms.length === 1 && one.value === 0)) {
        expect(shown).toBeNull();
      } else expect(Number.isFinite(shown)).toBe(true);
    }
  });

  test('a listener with one row, two levels, and very large effects', () => {
    const rows = ratings(31, 6, 2, 0.1).filter(({ listener }, i) => listener !== 'L0' || i === 0);
    expect(mixedModel(model(rows)).converged).toBe(true);
    const two = mixedModel(model(rows.filter(({ listener }) => listener === 'L1' || listener === 'L2')));
    expect(two.fixed.every(({ standardError }) => standardError > 0)).toBe(true);
    const far = rows.map((row) => ({
      ...row,
      liking: Number(row.liking) + 1e4 * Number(String(row.listener)[1]) ** 2,
    }));
    const huge = mixedModel(model(far));
    // Between listeners so far apart nothing can be learnt: what is left is each listener's own comparison.
    const within = mixedModel(model(far, { fixed: ['sample', 'listener'], random: [] }));
    expectClose(huge.fixed[1]?.estimate, within.fixed[1]?.estimate ?? 0, close(1e-5), 'B');
    expectClose(huge.residual, within.residual, close(1e-4), 'residual');
  });

  test('levels are sorted as numbers where all are numbers', () => {
    const rows = [10, 9, 2].flatMap((sample) =>
      [1, 2, 3].map((l) => ({ listener: l, sample, liking: sample + ((l * sample) % 3) })),
    );
    const names = (given: Row[]) => mixedModel(model(given)).fixed.map(({ term }) => term);
    expect(names(rows)).toEqual(['(Intercept)', 'sample9', 'sample10']);
    expect(names(rows.map((row) => ({ ...row, sample: `n${row.sample}` })))).toEqual([
      '(Intercept)',
      'samplen2',
      'samplen9',
    ]);
  });
});

describe('refusals name what can’t be told', () => {
  const rows = ratings(41, 5, 2, 0);

  test('cells that are empty', () => {
    const input = model(
      rows.filter(({ sample, session }) => sample !== 'B' || session !== 1),
      { fixed: ['sample', 'session', ['sample', 'session']] },
    );
    const error = expectRefused(() => mixedModel(input), 'not-identified', 'fixed.2');
    expect(error.message).toContain('no row has sample B with session 1');
  });

  test('a term that others make up, and more columns than rows', () => {
    const twice = rows.map((row) => ({ ...row, code: `x${row.sample}` }));
    const error = expectRefused(
      () => mixedModel(model(twice, { fixed: ['sample', 'code'] })),
      'not-identified',
      'fixed.1',
    );
    expect(error.got).toBe('codexB');
    expectRefused(() => mixedModel(model(rows.slice(0, 3), { random: [] })), 'not-enough-data', 'rows');
    expectRefused(() => mixedModel(model(rows, { fixed: [['sample', 'session']] })), 'not-identified', 'fixed.0');
  });

  test('groups: one level, one row each, the same division twice, a group that is a fixed term', () => {
    const given =
      (random: MixedModelInput['random'], from: Row[] = rows) =>
      () =>
        mixedModel(model(from, { random }));
    const one = rows.map((row) => ({ ...row, room: 'R', row: String(rows.indexOf(row)), twin: `t${row.listener}` }));
    expectRefused(given([{ group: 'room' }], one), 'not-enough-data', 'random.0.group');
    expectRefused(given([{ group: 'row' }], one), 'not-identified', 'random.0.group');
    const alike = expectRefused(given([{ group: 'listener' }, { group: 'twin' }], one), 'not-identified', 'random.1');
    expect(alike.message).toContain('twin divides the rows just as listener does');
    expectRefused(given([{ group: 'listener' }, { group: 'listener' }]), 'not-identified', 'random.1');
    const fixed = expectRefused(given([{ group: 'listener' }, { group: 'sample' }]), 'not-identified', 'random');
    expect(fixed.got).toBe('sample');
  });

  test('effects that are as many as rows only together, and a slope that is the intercept once more', () => {
    const two = [0, 1, 2, 3, 4].flatMap((l) =>
      [0, 1].map((day) => ({ listener: l, day, liking: (l * 5 + day * 3) % 7 })),
    );
    const random = [{ group: 'listener', slopes: ['day'], correlated: false }];
    const given = (from: Row[]) => () => mixedModel({ ...model(from), fixed: ['day'], covariates: ['day'], random });
    expectRefused(given(two), 'not-identified', 'random.0.group');
    const far = rows.map((row) => ({ ...row, day: 1.7e9 + Number(row.day) }));
    expectRefused(given(far), 'not-identified', 'random.0');
  });

  test('a likelihood that rises on and on with the groups, while the residual goes to nothing', () => {
    const six = 'a A 3, b A 5, b B 5.5, c B 9, d B 2, e A 7'.split(', ').map((line) => {
      const [listener = '', sample = '', liking] = line.split(' ');
      return { listener, sample, liking: Number(liking) };
    });
    expectRefused(() => mixedModel(model(six)), 'no-variation', 'response');
  });

  test('a response without variation, alone or within the groups', () => {
    expectRefused(() => mixedModel(model(rows.map((row) => ({ ...row, liking: 4 })))), 'no-variation', 'response');
    const told = rows.map((row) => ({ ...row, liking: Number(String(row.listener).slice(1)) ** 2 }));
    expectRefused(() => mixedModel(model(told)), 'no-variation', 'response');
    for (const fixed of [['listener'], ['listener', 'sample']]) {
      expectRefused(() => mixedModel(model(told, { fixed, random: [] })), 'no-variation', 'response');
    }
    expectRefused(
      () =>
        mixedModel(
          model(
            rows.map((row) => ({ ...row, day: 3 })),
            { fixed: ['day'], covariates: ['day'] },
          ),
        ),
      'no-variation',
      'fixed.0',
    );
    expectRefused(() => mixedModel(model(rows.map((row) => ({ ...row, sample: 'A' })))), 'not-enough-data', 'fixed.0');
  });

  test('fields', () => {
    const spoilt = (input: Partial<MixedModelInput>) => () => mixedModel({ ...model(rows), ...input });
    const changed = (row: object) => spoilt({ rows: rows.map((one, i) => (i === 4 ? { ...one, ...row } : one)) });
    expectRefused(changed({ liking: null }), 'missing', 'rows.4.liking');
    expectRefused(changed({ liking: '6' }), 'wrong-type', 'rows.4.liking');
    expectRefused(changed({ listener: undefined }), 'missing', 'rows.4.listener');
    expectRefused(changed({ sample: '' }), 'wrong-type', 'rows.4.sample');
    expectRefused(spoilt({ rows: [1 as never, 2 as never] }), 'wrong-type', 'rows.0');
    expectRefused(spoilt({ response: 'loudness' }), 'missing', 'rows.0.loudness');
    expectRefused(spoilt({ fixed: ['constructor'] }), 'missing', 'rows.0.constructor');
    expectRefused(spoilt({ covariates: ['dayz'] }), 'missing', 'rows.0.dayz');
    expectRefused(spoilt({ covariates: ['day', 'day'] }), 'inconsistent', 'covariates.1');
    expectRefused(spoilt({ random: [{ group: ['listener', 'liking'] }] }), 'inconsistent', 'random.0.group');
    expectRefused(changed({ liking: { valueOf: 1, toString: 1 } }), 'wrong-type', 'rows.4.liking');
    expectRefused(spoilt({ response: undefined as never }), 'missing', 'response');
    expectRefused(spoilt({ fixed: ['sample', 'liking'] }), 'inconsistent', 'response');
    expectRefused(spoilt({ fixed: ['sample', 'sample'] }), 'inconsistent', 'fixed.1');
    expectRefused(spoilt({ fixed: [['sample', 'sample']] }), 'inconsistent', 'fixed.0.1');
    expectRefused(spoilt({ fixed: [7 as never] }), 'wrong-type', 'fixed.0');
    expectRefused(spoilt({ random: [{ group: 'listener', slopes: ['day'] }] }), 'unknown-choice', 'random.0.slopes.0');
    expectRefused(spoilt({ random: [{ group: 'day' }], covariates: ['day'] }), 'inconsistent', 'random.0.group');
    expectRefused(spoilt({ random: [{ group: 'listener', intercept: false }] }), 'inconsistent', 'random.0');
    expectRefused(spoilt({ random: [{ groups: 'listener' } as never] }), 'unknown-option', 'random.0.groups');
    expectRefused(spoilt({ method: 'mle' as never }), 'unknown-choice', 'method');
    expectRefused(spoilt({ compare: 'listener' }), 'unknown-choice', 'compare');
    expectRefused(spoilt({ level: 1 }), 'out-of-range', 'level');
  });
});
