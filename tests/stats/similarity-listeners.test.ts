import fc from 'fast-check';
import { expect, test } from 'vitest';
import { similarityCount } from '../../stats/similarity-count';
import { type SimilarityListenersInput, similarityListeners } from '../../stats/similarity-listeners';
import { expectClose, expectRefused, rounding } from './support';

const panel = (...answers: [correct: number, trials: number][]) =>
  answers.map(([correct, trials]) => ({ correct, trials }));

test('72 listeners in one triangle each: 30 right show that fewer than 30 % hear it, 31 don’t', () => {
  // ISO 4120:2021, Table A.2, row 72, pd 30 %, β 0.05: 30 (from memory).
  const once = (right: number) =>
    panel(...Array.from({ length: 72 }, (_, i) => [i < right ? 1 : 0, 1] as [number, number]));
  const of = (right: number) => similarityListeners({ listeners: once(right), chance: 1 / 3, pd: 0.3, beta: 0.05 });
  expect(of(30)).toMatchObject({ correct: 30, trials: 72, most: 30 });
  expect(of(30).p).toBeLessThan(0.05);
  expect(of(30).upper).toBeLessThan(0.3);
  expect(of(31).p).toBeGreaterThan(0.05);
  expect(of(31).upper).toBeGreaterThan(0.3);
});

test('with one answer each it is the exact count', () => {
  for (const trials of [3, 10, 24, 60, 151]) {
    for (const chance of [1 / 2, 1 / 3, 1 / 10]) {
      for (const pd of [0.1, 0.3, 0.5]) {
        for (const beta of [0.01, 0.05, 0.2]) {
          const listeners = Array.from({ length: trials }, () => ({ correct: 0, trials: 1 }));
          const { most } = similarityListeners({ listeners, chance, pd, beta });
          expect(most, `${trials} ${chance} ${pd} ${beta}`).toBe(similarityCount({ trials, chance, pd, beta }).count);
        }
      }
    }
  }
});

/** P(so many right or fewer), by writing out who hears and every sequence of answers of those who don't. */
function writtenOut(trials: readonly number[], chance: number, pd: number, most: number): number {
  let sum = 0;
  for (let who = 0; who < 2 ** trials.length; who++) {
    let weight = 1;
    let heard = 0;
    let guesses = 0;
    trials.forEach((own, i) => {
      const hears = Math.floor(who / 2 ** i) % 2 === 1;
      weight *= hears ? pd : 1 - pd;
      if (hears) heard += own;
      else guesses += own;
    });
    for (let code = 0; code < 2 ** guesses; code++) {
      const right = [...code.toString(2)].filter((digit) => digit === '1').length;
      if (heard + right <= most) sum += weight * chance ** right * (1 - chance) ** (guesses - right);
    }
  }
  return sum;
}

test.each([
  // Guesses blur the counts of the first, so that no panel but the one of always and never is tried.
  [[2, 2, 2], 1 / 3, 0.3, 0],
  [[3, 1, 2, 1], 1 / 2, 0.2, 12],
  [[5, 4], 1 / 10, 0.6, 12],
])('listeners with %o trials, written out', (trials, chance, pd, tried) => {
  const all = trials.reduce((sum, own) => sum + own, 0);
  for (let correct = 0; correct <= all; correct++) {
    let left = correct;
    const listeners = trials.map((own) => {
      const right = Math.min(own, left);
      left -= right;
      return { correct: right, trials: own };
    });
    const { p } = similarityListeners({ listeners, chance, pd });
    // Whoever doesn't hear it always hears it as rarely as this: the worst of these panels counts.
    const panels = Array.from({ length: tried + 1 }, (_, i) => {
      const rarely = (pd * i) / 12;
      return writtenOut(trials, chance + (1 - chance) * rarely, (pd - rarely) / (1 - rarely), correct);
    });
    expectClose(p, Math.max(...panels), rounding, String(correct));
  }
});

test('p, count and upper limit are one verdict; who was right makes no difference, and more right say more', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 20 }),
      fc.nat(),
      fc.constantFrom(1 / 2, 1 / 3),
      fc.double({ min: 0.05, max: 0.6, noNaN: true }),
      fc.constantFrom(0.01, 0.05, 0.2),
      (trials, seed, chance, pd, beta) => {
        const listeners = trials.map((own, i) => ({ correct: (seed + i * 7) % (own + 1), trials: own }));
        const found = similarityListeners({ listeners, chance, pd, beta });
        expect(found.p <= beta).toBe(found.correct <= (found.most ?? -1));
        if (Math.abs(found.p - beta) > 1e-9) expect(found.p <= beta).toBe(found.upper <= pd);
        expectClose(
          similarityListeners({ listeners: listeners.toReversed(), chance, pd, beta }).p,
          found.p,
          rounding,
          'order',
        );
        const poorer = listeners.findIndex((own) => own.correct < own.trials);
        if (poorer < 0) return;
        const more = listeners.map((own, i) => (i === poorer ? { ...own, correct: own.correct + 1 } : own));
        expect(similarityListeners({ listeners: more, chance, pd, beta }).upper).toBeGreaterThanOrEqual(found.upper);
      },
    ),
    { seed: 8, numRuns: 60 },
  );
});

test('ten answers of one say less than one of ten, and one listener says nothing by guessing', () => {
  const once = similarityListeners({ listeners: Array(60).fill({ correct: 0, trials: 1 }), chance: 1 / 3, pd: 0.3 });
  const often = similarityListeners({ listeners: Array(6).fill({ correct: 0, trials: 10 }), chance: 1 / 3, pd: 0.3 });
  expect(once.most as number).toBeGreaterThan(often.most as number);
  // A panel of six holds nobody of the 30 % who hear with probability 0.7^6 = 0.118: guessing alone can't show it.
  expect(often.most as number).toBeLessThan(20);
});

test('at the ends: everybody right, nobody, a limit of everybody, too few to show anything', () => {
  const some = { listeners: panel([4, 4], [4, 4]), chance: 1 / 2, pd: 0.5 };
  expect(similarityListeners(some)).toMatchObject({ p: 1, upper: 1 });
  // Fewer right than guessing lets them be: no share at all is left.
  expect(similarityListeners({ ...some, listeners: panel([0, 9], [0, 9]) }).upper).toBe(0);
  // If everybody heard it all would be right: one wrong answer is enough.
  expect(similarityListeners({ ...some, pd: 1 }).most).toBe(7);
  expect(similarityListeners({ listeners: panel([0, 1]), chance: 1 / 2, pd: 0.1 }).most).toBe(null);
});

test.each([
  [{ listeners: undefined }, 'missing', 'listeners'],
  [{ listeners: [] }, 'not-enough-data', 'listeners'],
  [{ listeners: panel([1, 0]) }, 'out-of-range', 'listeners.0.trials'],
  [{ listeners: panel([1, 2], [3, 2]) }, 'out-of-range', 'listeners.1.correct'],
  [{ listeners: panel([1, 20_000], [1, 1]) }, 'out-of-range', 'listeners'],
  [{ listeners: [{ correct: 1, trials: 2, name: 'x' }] }, 'unknown-option', 'listeners.0.name'],
  [{ pd: undefined }, 'missing', 'pd'],
  [{ pd: 1.1 }, 'out-of-range', 'pd'],
  [{ chance: 1 }, 'out-of-range', 'chance'],
  [{ beta: 0 }, 'out-of-range', 'beta'],
] as const)('bad input is refused: %o', (change, code, path) => {
  const input = { listeners: panel([1, 3]), pd: 0.3, ...change } as unknown as SimilarityListenersInput;
  expectRefused(() => similarityListeners(input), code, path);
});
