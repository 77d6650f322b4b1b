import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fisherUpper } from '../../stats/fisher-exact';
import { type StratifiedYesInput, stratifiedYes, type YesCounts } from '../../stats/stratified-yes';
import { expectClose, expectRefused, rounding } from './support';

const stratum = (hits: number, signalTrials: number, falseAlarms: number, noiseTrials: number): YesCounts => ({
  hits,
  signalTrials,
  falseAlarms,
  noiseTrials,
});

test('a published table: cures by early and late penicillin, in five doses', () => {
  // Data and exact one-sided p of Agresti (1990), Categorical Data Analysis, pages 231–237, as R's help page of
  // mantelhaen.test gives them (from memory): "p = 0.020".
  const strata = [
    stratum(0, 6, 0, 5),
    stratum(3, 6, 0, 6),
    stratum(6, 6, 2, 6),
    stratum(5, 6, 6, 6),
    stratum(2, 2, 5, 5),
  ];
  expect(stratifiedYes({ strata }).p).toBeCloseTo(0.02, 3);
});

/** All orders of the trials of one sitting, with the answers where they are: how many have so many hits. */
function orders(answers: readonly number[], signal: number): number[] {
  const counts: number[] = [];
  const ordersFrom = (at: number, left: number, hits: number): void => {
    if (at === answers.length) {
      if (left === 0) counts[hits] = (counts[hits] ?? 0) + 1;
      return;
    }
    ordersFrom(at + 1, left, hits);
    if (left > 0) ordersFrom(at + 1, left - 1, hits + (answers[at] as number));
  };
  ordersFrom(0, signal, 0);
  return Array.from({ length: signal + 1 }, (_, hits) => counts[hits] ?? 0);
}

/** The share of all orders of all sittings with so many hits or more, counted out. */
function byOrders(strata: readonly YesCounts[]): number {
  const ways = strata.map(({ hits, signalTrials, falseAlarms, noiseTrials }) => {
    const yes = hits + falseAlarms;
    const answers = Array.from({ length: signalTrials + noiseTrials }, (_, i) => (i < yes ? 1 : 0));
    return orders(answers, signalTrials);
  });
  const seen = strata.reduce((sum, { hits }) => sum + hits, 0);
  let [far, all] = [0, 0];
  const over = (at: number, hits: number, number: number): void => {
    if (at === ways.length) {
      all += number;
      if (hits >= seen) far += number;
      return;
    }
    (ways[at] as number[]).forEach((own, more) => {
      if (own > 0) over(at + 1, hits + more, number * own);
    });
  };
  over(0, 0, 1);
  return far / all;
}

test('every table of small sittings, by counting all orders of their trials', () => {
  for (let first = 0; first <= 3; first++) {
    for (let second = 0; second <= 3; second++) {
      for (const other of [stratum(2, 2, 1, 3), stratum(1, 3, 2, 3), stratum(0, 2, 0, 2), stratum(4, 4, 1, 2)]) {
        for (const strata of [[stratum(first, 3, second, 3)], [stratum(first, 3, second, 3), other], [other, other]]) {
          const { p } = stratifiedYes({ strata });
          expectClose(p, byOrders(strata), rounding, JSON.stringify(strata));
        }
      }
    }
  }
});

const anyStratum = fc
  .tuple(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 0, max: 20 }), fc.nat(), fc.nat())
  .map(([signal, noise, one, two]) => stratum(one % (signal + 1), signal, two % (noise + 1), noise));
const close = { relative: 1e-11, absolute: 1e-300 };

test('one sitting is Fisher’s test; the order of sittings is nothing; turned round, both tails share what was seen', () => {
  fc.assert(
    fc.property(fc.array(anyStratum, { minLength: 1, maxLength: 6 }), (strata) => {
      const [first] = strata as [YesCounts];
      const fisher = fisherUpper(first.hits, first.signalTrials, first.falseAlarms, first.noiseTrials);
      expectClose(stratifiedYes({ strata: [first] }).p, fisher, close, 'one');
      const whole = stratifiedYes({ strata });
      expectClose(stratifiedYes({ strata: strata.toReversed() }).p, whole.p, close, 'reversed');
      // Hits or fewer, by the answers the other way round.
      const turned = strata.map((one) =>
        stratum(one.signalTrials - one.hits, one.signalTrials, one.noiseTrials - one.falseAlarms, one.noiseTrials),
      );
      const fewer = stratifiedYes({ strata: turned }).p;
      expect(whole.p + fewer).toBeGreaterThanOrEqual(1 - 1e-12);
      if (whole.hits > whole.expected + 1) expect(whole.p).toBeLessThan(fewer);
    }),
    { seed: 5, numRuns: 150 },
  );
});

test('mean and variance are those of the hypergeometric: 4 yes of 6, half of them of each kind', () => {
  // Mean 4·3/6 = 2, variance 3·3·4·2/(36·5) = 0.4, by hand.
  expect(stratifiedYes({ strata: [stratum(3, 3, 1, 3), stratum(3, 3, 1, 3)] })).toMatchObject({
    hits: 6,
    expected: 4,
    variance: 0.8,
  });
});

test('whoever always says the same, or hears one kind only, tells nothing', () => {
  const told = [stratum(3, 3, 0, 3)];
  const silent = [stratum(4, 4, 4, 4), stratum(0, 4, 0, 4), stratum(2, 5, 0, 0), stratum(0, 0, 1, 3)];
  expectClose(stratifiedYes({ strata: [...told, ...silent] }).p, 1 / 20, rounding, 'as alone');
  expect(stratifiedYes({ strata: silent })).toEqual({ hits: 6, expected: 6, variance: 0, p: 1 });
});

test('far tails keep their digits: 60 sittings without an error', () => {
  const { p } = stratifiedYes({ strata: Array.from({ length: 60 }, () => stratum(6, 6, 0, 6)) });
  expectClose(Math.log(p), 60 * -Math.log(924), { relative: 1e-12, absolute: 0 }, 'log p');
});

test.each([
  [{ strata: undefined }, 'missing', 'strata'],
  [{ strata: [] }, 'not-enough-data', 'strata'],
  [{ strata: [{ hits: 1, signalTrials: 2, falseAlarms: 0 }] }, 'missing', 'strata.0.noiseTrials'],
  [{ strata: [stratum(3, 2, 0, 2)] }, 'out-of-range', 'strata.0.hits'],
  [{ strata: [stratum(1, 2, 0, 2), stratum(1, 2, -1, 2)] }, 'out-of-range', 'strata.1.falseAlarms'],
  [{ strata: [stratum(1.5, 2, 0, 2)] }, 'wrong-type', 'strata.0.hits'],
  [{ strata: [{ ...stratum(1, 2, 0, 2), yes: 1 }] }, 'unknown-option', 'strata.0.yes'],
  [{ strata: Array(60).fill(stratum(1, 1000, 1, 1000)) }, 'out-of-range', 'strata'],
  [{ strata: [stratum(1, 2, 0, 2)], alpha: 0.05 }, 'unknown-option', 'alpha'],
] as const)('bad input is refused: %o', (input, code, path) => {
  expectRefused(() => stratifiedYes(input as unknown as StratifiedYesInput), code, path);
});
