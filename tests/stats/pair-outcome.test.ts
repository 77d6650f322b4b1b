import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { ComparisonModel } from '../../stats/comparison-model';
import { logShares, type OutcomeSlopes, pairOutcome } from '../../stats/pair-outcome';
import { expectClose } from './support';

const models: ComparisonModel[] = [
  { link: 'logit', order: true, tied: false },
  { link: 'logit', order: true, tied: true },
  { link: 'probit', order: true, tied: false },
];
const nothing = { half: 0, tie: 0, halfTerms: 0, tieTerms: 0, halfHalf: 0, halfTie: 0, tieTie: 0 };
const point = fc.record({
  model: fc.constantFrom(...models),
  half: fc.double({ min: -3, max: 3, noNaN: true }),
  tie: fc.double({ min: -3, max: 3, noNaN: true }),
  counts: fc.tuple(fc.nat({ max: 50 }), fc.nat({ max: 50 }), fc.nat({ max: 50 })),
});

function slopes(model: ComparisonModel, half: number, tie: number, counts: [number, number, number], mean = false) {
  const out: OutcomeSlopes = { ...nothing };
  pairOutcome(out, model, half, tie, counts[0], counts[1], model.tied ? counts[2] : 0, mean);
  return out;
}

function logLik(model: ComparisonModel, half: number, tie: number, counts: [number, number, number]): number {
  const shares = new Float64Array(3);
  logShares(shares, model, half, tie);
  const sum = (k: number) => (counts[k] ?? 0) * (shares[k] ?? 0);
  return sum(0) + sum(1) + (model.tied ? sum(2) : 0);
}

test('slopes are those of the likelihood, and curvatures those of the slopes, by differences', () => {
  const h = 1e-5;
  const within = { relative: 1e-6, absolute: 1e-5 };
  fc.assert(
    fc.property(point, ({ model, half, tie, counts }) => {
      const at = slopes(model, half, tie, counts);
      const along = (f: (d: number) => number) => (f(h) - f(-h)) / (2 * h);
      const likelihood = { half: along((d) => logLik(model, half + d, tie, counts)), tie: 0 };
      if (model.tied) likelihood.tie = along((d) => logLik(model, half, tie + d, counts));
      expectClose(at.half, likelihood.half, within, 'half');
      expectClose(at.tie, likelihood.tie, within, 'tie');
      expectClose(
        -at.halfHalf,
        along((d) => slopes(model, half + d, tie, counts).half),
        within,
        'half half',
      );
      expectClose(
        -at.halfTie,
        along((d) => slopes(model, half, tie + d, counts).half),
        within,
        'half tie',
      );
      expectClose(
        -at.tieTie,
        along((d) => slopes(model, half, tie + d, counts).tie),
        within,
        'tie tie',
      );
    }),
    { seed: 30, numRuns: 300 },
  );
});

test('probabilities add up to one, and the weight of a tie is that of the geometric mean', () => {
  fc.assert(
    fc.property(point, ({ model, half, tie }) => {
      const shares = new Float64Array(3);
      logShares(shares, model, half, tie);
      const [p = 0, q = 0, t = 0] = [...shares].map(Math.exp);
      expectClose(p + q + t, 1, { relative: 1e-12, absolute: 0 }, 'sum');
      if (model.tied) expectClose(t / Math.sqrt(p * q), Math.exp(tie), { relative: 1e-12, absolute: 0 }, 'tie');
      if (model.link === 'logit') expectClose(Math.log(p / q), 2 * half, { relative: 1e-9, absolute: 1e-12 }, 'odds');
    }),
    { seed: 31, numRuns: 300 },
  );
});

test('the expected curvature is the mean of the observed over what can be answered', () => {
  fc.assert(
    fc.property(point, ({ model, half, tie }) => {
      const shares = new Float64Array(3);
      logShares(shares, model, half, tie);
      const each = [0, 1, 2].map((k) => {
        const counts: [number, number, number] = [Number(k === 0), Number(k === 1), Number(k === 2)];
        return Math.exp(shares[k] ?? 0) * slopes(model, half, tie, counts).halfHalf;
      });
      const mean = each.reduce((a, b) => a + b, 0);
      expectClose(
        slopes(model, half, tie, [1, 0, 0], true).halfHalf,
        mean,
        { relative: 1e-8, absolute: 1e-12 },
        'mean',
      );
    }),
    { seed: 32, numRuns: 200 },
  );
});

test('far apart nothing overflows, and small probabilities keep their digits', () => {
  for (const model of models) {
    for (const [half, tie] of [
      [400, 0],
      [-400, 0],
      [0, 800],
      [0, -800],
      [500, 500],
    ] as const) {
      const shares = new Float64Array(3);
      logShares(shares, model, half, tie);
      expect(Number.isNaN((shares[0] ?? 0) + (shares[1] ?? 0))).toBe(false);
      for (const value of Object.values(slopes(model, half, tie, [3, 2, 1]))) expect(Number.isFinite(value)).toBe(true);
    }
  }
  const shares = new Float64Array(3);
  logShares(shares, { link: 'logit', order: false, tied: false }, 20, 0);
  expectClose(shares[0], -Math.exp(-40), { relative: 1e-12, absolute: 0 }, 'log of nearly one');
});
