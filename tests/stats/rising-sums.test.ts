import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type RisingSums, risingSums } from '../../stats/rising-sums';
import { expectClose } from './support';

/** Term by term, as the definition says. */
function added(base: number, step: number, first: number, count: number): RisingSums {
  const sums = { logs: 0, inverses: 0, weighted: 0, squares: 0, weightedSquares: 0, twiceWeighted: 0 };
  for (let i = first; i < first + count; i++) {
    const v = base + i * step;
    sums.logs += Math.log(v);
    sums.inverses += 1 / v;
    sums.weighted += i / v;
    sums.squares += 1 / v ** 2;
    sums.weightedSquares += i / v ** 2;
    sums.twiceWeighted += (i / v) ** 2;
  }
  return sums;
}

const names = ['logs', 'inverses', 'weighted', 'squares', 'weightedSquares', 'twiceWeighted'] as const;

test('a few terms and thousands are what adding them up gives', () => {
  for (const base of [1e-9, 0.003, 0.7]) {
    for (const step of [0, 1e-12, 1e-5, 0.02, 1]) {
      for (const [first, count] of [
        [1, 0],
        [1, 1],
        [0, 64],
        [1, 65],
        [1, 20_000],
        [700, 3000],
      ] as const) {
        const [got, expected] = [risingSums(base, step, first, count), added(base, step, first, count)];
        for (const name of names) {
          const what = `${name} from ${base} by ${step}, ${count} from ${first}`;
          expectClose(got[name], expected[name], { relative: 2e-12, absolute: 1e-13 }, what);
        }
      }
    }
  }
});

test('logs are a logarithm of Γ, and by step 1 sums of 1/i grow as log n + Euler’s constant', () => {
  // 20! exactly; H(10⁶) = log 10⁶ + 0.5772156649015329 + 5e-7 − 1/12e-12 (Abramowitz & Stegun 1964, 6.3.2 and 6.3.18).
  expectClose(risingSums(0, 1, 1, 20).logs, Math.log(2432902008176640000), { relative: 1e-15, absolute: 0 }, '20!');
  const harmonic = Math.log(1e6) + 0.5772156649015329 + 5e-7 - 1e-12 / 12;
  expectClose(risingSums(0, 1, 1, 1e6).inverses, harmonic, { relative: 1e-15, absolute: 0 }, 'harmonic');
});

test('two parts make the whole', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(number(1e-9, 2), number(0, 1), fc.integer({ min: 1, max: 3000 }), fc.nat(3000), (base, step, a, b) => {
      const [whole, one, two] = [[1, a + b] as const, [1, a] as const, [1 + a, b] as const].map(([first, count]) =>
        risingSums(base, step, first, count),
      );
      for (const name of names) {
        const sum = (one?.[name] ?? Number.NaN) + (two?.[name] ?? Number.NaN);
        const size = name === 'logs' ? 1e-12 * (a + b) * 40 : 0;
        expectClose(whole?.[name], sum, { relative: 1e-12, absolute: size }, name);
      }
    }),
    { seed: 4, numRuns: 200 },
  );
  expect(risingSums(0.5, 0.1, 3, 0)).toEqual(added(0.5, 0.1, 3, 0));
});
