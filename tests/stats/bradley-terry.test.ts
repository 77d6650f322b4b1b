import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BradleyTerryInput, bradleyTerry } from '../../stats/bradley-terry';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

interface Expected {
  coefficients: number[];
  standardErrors: number[];
  worth?: number[];
  deviance?: number;
  degreesOfFreedom?: number;
  logLik?: number;
  logLikKernel: number;
  nu?: number;
  logNu?: number;
  logNuError?: number;
  logGamma?: number;
  logGammaError?: number;
}
type Case = ReferenceCase<BradleyTerryInput, Expected>;

test.each(references<Case[]>('bradley-terry'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const got = bradleyTerry(inputs);
  const reference = got.items[0]?.logWorth ?? Number.NaN;
  got.items.forEach(({ logWorth, worth }, i) => {
    expectClose(logWorth - reference, expected.coefficients[i] ?? Number.NaN, tolerance, `${id} coefficient ${i}`);
    if (expected.worth) expectClose(worth, expected.worth[i] ?? Number.NaN, tolerance, `${id} worth ${i}`);
    // Agresti (2002) and Stigler (1994) as printed; values from memory, as the case says.
    const printed = published?.[`coef/${i + 1}`];
    if (printed)
      expectClose(logWorth - reference, printed.value, { relative: 0, absolute: printed.tolerance }, 'printed');
  });
  // A difference to the first item has the standard error of R's coefficient.
  for (const pair of got.pairs.filter(({ a }) => a === inputs.items[0])) {
    const i = inputs.items.indexOf(pair.b);
    expectClose(pair.standardError, expected.standardErrors[i] ?? Number.NaN, tolerance, `${id} error ${i}`);
  }
  const check = (value: number | undefined, wanted: number | undefined, what: string, within = tolerance) =>
    wanted === undefined || expectClose(value, wanted, within, `${id} ${what}`);
  check(got.tieParameter?.nu, expected.nu, 'nu');
  check(got.tieParameter?.logNu, expected.logNu, 'log nu');
  check(got.tieParameter?.standardError, expected.logNuError, 'error of log nu');
  // R's coefficient is that of the second item.
  check(got.orderEffect?.logWorth, expected.logGamma === undefined ? undefined : -expected.logGamma, 'order');
  check(got.orderEffect?.standardError, expected.logGammaError, 'error of order');
  const absolute = { relative: 0, absolute: 1e-6 };
  check(got.logLik - coefficients(inputs), expected.logLikKernel, 'kernel', absolute);
  check(got.logLik, expected.logLik, 'logLik', absolute);
  check(got.deviance, expected.deviance, 'deviance', absolute);
  if (expected.degreesOfFreedom !== undefined) expect(got.degreesOfFreedom).toBe(expected.degreesOfFreedom);
});

/** Logs of the multinomial coefficients, by adding up the factorials. */
function coefficients({ comparisons, ties }: BradleyTerryInput): number {
  const factorial = (n: number) => Array.from({ length: n }, (_, k) => Math.log(k + 1)).reduce((a, b) => a + b, 0);
  return comparisons.reduce((sum, row) => {
    const counts = [row.firstWins, row.secondWins, ties === 'davidson' ? (row.ties ?? 0) : 0];
    const all = counts.reduce((a, b) => a + b, 0);
    return counts.reduce((rest, count) => rest - factorial(count), sum + factorial(all));
  }, 0);
}

const names = ['A', 'B', 'C', 'D', 'E'];
/** Everyone beat everyone at least once, so that the worths are finite. */
const panel = fc
  .tuple(fc.integer({ min: 2, max: 5 }), fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 20, maxLength: 20 }))
  .map(([n, counts]) => {
    const items = names.slice(0, n);
    const comparisons = items.flatMap((first, i) =>
      items.slice(i + 1).map((second, j) => ({
        first,
        second,
        firstWins: counts[i * 4 + j] ?? 1,
        secondWins: counts[19 - i * 4 - j] ?? 1,
      })),
    );
    return { items, comparisons };
  });

test('at the maximum each item wins as often as the model expects; worths and log worths are normed', () => {
  fc.assert(
    fc.property(panel, (input) => {
      const { items } = bradleyTerry(input);
      const worth = new Map(items.map((one) => [one.item, one.worth ?? 0]));
      for (const { item } of items) {
        let wins = 0;
        let expected = 0;
        for (const { first, second, firstWins, secondWins } of input.comparisons) {
          if (item !== first && item !== second) continue;
          const other = item === first ? second : first;
          const [own, rival] = [worth.get(item) ?? 0, worth.get(other) ?? 0];
          wins += item === first ? firstWins : secondWins;
          expected += ((firstWins + secondWins) * own) / (own + rival);
        }
        expectClose(expected, wins, { relative: 1e-8, absolute: 0 }, item);
      }
      expect(items.reduce((sum, { logWorth }) => sum + logWorth, 0)).toBeCloseTo(0, 10);
      expect(items.reduce((sum, one) => sum + (one.worth ?? 0), 0)).toBeCloseTo(1, 12);
    }),
    { seed: 10, numRuns: 100 },
  );
});

test('renaming and reordering the items permutes the result; swapping sides and splitting rows changes nothing', () => {
  fc.assert(
    fc.property(panel, (input) => {
      const straight = bradleyTerry(input);
      const renamed = (name: string) => `item ${name}`;
      const turned = bradleyTerry({
        items: [...input.items].reverse().map(renamed),
        comparisons: [...input.comparisons].reverse().flatMap(({ first, second, firstWins, secondWins }) => [
          { first: renamed(second), second: renamed(first), firstWins: secondWins - 1, secondWins: firstWins },
          { first: renamed(first), second: renamed(second), firstWins: 0, secondWins: 1 },
        ]),
      });
      for (const { item, logWorth, standardError } of straight.items) {
        const same = turned.items.find((one) => one.item === renamed(item));
        expectClose(same?.logWorth, logWorth, { relative: 1e-8, absolute: 1e-8 }, item);
        expectClose(same?.standardError, standardError, { relative: 1e-8, absolute: 1e-8 }, item);
      }
      for (const { a, b, difference, p } of straight.pairs) {
        const same = turned.pairs.find((pair) => pair.a === renamed(b) && pair.b === renamed(a));
        expectClose(same?.difference, -difference, { relative: 1e-8, absolute: 1e-8 }, `${a} ${b}`);
        expectClose(same?.p, p, { relative: 1e-6, absolute: 1e-8 }, `${a} ${b}`);
      }
    }),
    { seed: 11, numRuns: 60 },
  );
});

test('two items: the log odds, with the standard error that has a formula', () => {
  const comparisons = [{ first: 'A', second: 'B', firstWins: 9, secondWins: 3 }];
  const { items, pairs } = bradleyTerry({ items: ['A', 'B'], comparisons });
  expectClose(pairs[0]?.difference, Math.log(3), { relative: 1e-9, absolute: 0 }, 'difference');
  expectClose(pairs[0]?.standardError, Math.sqrt(1 / 9 + 1 / 3), { relative: 1e-9, absolute: 0 }, 'standard error');
  expectClose(items[0]?.standardError, Math.sqrt(1 / 9 + 1 / 3) / 2, { relative: 1e-9, absolute: 0 }, 'of an item');
  const { lower = 0, upper = 0, logWorth = 0 } = items[0] ?? {};
  expectClose(upper - logWorth, logWorth - lower, { relative: 1e-9, absolute: 0 }, 'interval');
});

test('ties are left out, or count half each way', () => {
  const row = { first: 'A', second: 'B', firstWins: 6, secondWins: 2, ties: 4 };
  const worth = (ties: 'none' | 'half') =>
    bradleyTerry({ items: ['A', 'B'], comparisons: [row], ties }).items[0]?.worth;
  expectClose(worth('none'), 6 / 8, { relative: 1e-9, absolute: 0 }, 'none');
  expectClose(worth('half'), 8 / 12, { relative: 1e-9, absolute: 0 }, 'half');
});

test('everyone alike: all worths equal, nothing significant', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 4, secondWins: 4 },
    { first: 'B', second: 'C', firstWins: 4, secondWins: 4 },
    { first: 'C', second: 'A', firstWins: 4, secondWins: 4 },
  ];
  const { items, pairs, deviance } = bradleyTerry({ items: ['A', 'B', 'C'], comparisons });
  for (const { worth } of items) expect(worth).toBeCloseTo(1 / 3, 12);
  for (const { p, pAdjusted } of pairs) expect([p, pAdjusted]).toEqual([1, 1]);
  expect(deviance).toBeCloseTo(0, 12);
});

test('very lopsided counts still end at the maximum', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 1e6, secondWins: 1 },
    { first: 'B', second: 'C', firstWins: 1e6, secondWins: 1 },
  ];
  const { pairs } = bradleyTerry({ items: ['A', 'B', 'C'], comparisons });
  expectClose(pairs[1]?.difference, 2 * Math.log(1e6), { relative: 1e-6, absolute: 0 }, 'A − C');
});

test('an item that never loses separates, and is named; half a win each way gives a marked estimate', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 5, secondWins: 0 },
    { first: 'A', second: 'C', firstWins: 5, secondWins: 0 },
    { first: 'B', second: 'C', firstWins: 3, secondWins: 2 },
  ];
  const input = { items: ['A', 'B', 'C'], comparisons };
  const error = expectRefused(() => bradleyTerry(input), 'separated', 'comparisons');
  expect(error.got).toBe('A');
  expect(error.message).toContain('A never lose');
  const marked = bradleyTerry({ ...input, halfWin: true });
  expect(marked.items[0]?.worth).toBeGreaterThan(0.8);
  expect(marked.items.every(({ standardError }) => Number.isFinite(standardError))).toBe(true);
  const losing = comparisons.map((row) => ({ ...row, firstWins: row.secondWins, secondWins: row.firstWins }));
  expect(expectRefused(() => bradleyTerry({ ...input, comparisons: losing }), 'separated', 'comparisons').got).toBe(
    'A',
  );
});

test('two groups of which one always beats the other separate', () => {
  const level = { firstWins: 2, secondWins: 2 };
  const comparisons = [
    { first: 'A', second: 'B', ...level },
    { first: 'C', second: 'D', ...level },
    { first: 'A', second: 'C', firstWins: 4, secondWins: 0 },
    { first: 'B', second: 'D', firstWins: 4, secondWins: 0 },
  ];
  const error = expectRefused(
    () => bradleyTerry({ items: ['A', 'B', 'C', 'D'], comparisons }),
    'separated',
    'comparisons',
  );
  expect(['A, B', 'C, D']).toContain(error.got);
});

test('islands are named', () => {
  const comparisons = [
    { first: 'A', second: 'B', firstWins: 2, secondWins: 2 },
    { first: 'C', second: 'D', firstWins: 1, secondWins: 1 },
    { first: 'A', second: 'C', firstWins: 0, secondWins: 0 },
  ];
  const error = expectRefused(
    () => bradleyTerry({ items: ['A', 'B', 'C', 'D'], comparisons }),
    'islands',
    'comparisons',
  );
  expect(error.got).toBe('A, B | C, D');
});

test('rows that don’t fit name their field', () => {
  const comparisons = [{ first: 'A', second: 'B', firstWins: 2, secondWins: 2 }];
  const input = { items: ['A', 'B'], comparisons };
  expectRefused(() => bradleyTerry({ ...input, ties: 'rao' as never }), 'unknown-choice', 'ties');
  expectRefused(() => bradleyTerry({ ...input, link: 'cloglog' as never }), 'unknown-choice', 'link');
  expectRefused(() => bradleyTerry({ ...input, orderEffect: 'yes' as never }), 'wrong-type', 'orderEffect');
  expectRefused(() => bradleyTerry({ ...input, link: 'probit', ties: 'davidson' }), 'inconsistent', 'ties');
  const rows = (row: object) => ({ ...input, comparisons: [{ ...comparisons[0], ...row }] }) as BradleyTerryInput;
  expectRefused(() => bradleyTerry(rows({ first: undefined })), 'missing', 'comparisons.0.first');
  expectRefused(() => bradleyTerry(rows({ second: 'Z' })), 'unknown-choice', 'comparisons.0.second');
  expectRefused(() => bradleyTerry(rows({ second: 'A' })), 'inconsistent', 'comparisons.0.second');
  expectRefused(() => bradleyTerry(rows({ firstWins: -1 })), 'out-of-range', 'comparisons.0.firstWins');
  expectRefused(() => bradleyTerry(rows({ firstWins: Number.NaN })), 'wrong-type', 'comparisons.0.firstWins');
  expectRefused(() => bradleyTerry(rows({ secondWins: undefined })), 'missing', 'comparisons.0.secondWins');
  expectRefused(() => bradleyTerry(rows({ secondWins: '2' })), 'wrong-type', 'comparisons.0.secondWins');
  expectRefused(() => bradleyTerry(rows({ ties: -1 })), 'out-of-range', 'comparisons.0.ties');
  expectRefused(() => bradleyTerry(rows({ ties: '1' })), 'wrong-type', 'comparisons.0.ties');
  expectRefused(() => bradleyTerry(rows({ tie: 1 })), 'unknown-option', 'comparisons.0.tie');
  expectRefused(() => bradleyTerry(rows({ ties: 1, tie: 1 })), 'unknown-option', 'comparisons.0.tie');
  expect(bradleyTerry(rows({ ties: undefined })).degreesOfFreedom).toBe(0);
  for (const row of [null, 3, 'A', ['A', 'B', 1, 1]]) {
    const odd = { ...input, comparisons: [comparisons[0], row] } as never;
    expectRefused(() => bradleyTerry(odd), 'wrong-type', 'comparisons.1');
  }
  expectRefused(() => bradleyTerry({ ...input, items: ['A', 'A'] }), 'inconsistent', 'items.1');
  expectRefused(() => bradleyTerry({ ...input, items: ['A'] }), 'not-enough-data', 'items');
  expectRefused(() => bradleyTerry({ ...input, comparisons: [] }), 'not-enough-data', 'comparisons');
});

test('a row of zeros counts for nothing; with nothing else the items are islands', () => {
  const comparisons = [{ first: 'A', second: 'B', firstWins: 2, secondWins: 1 }];
  const zeros = { first: 'B', second: 'A', firstWins: 0, secondWins: 0 };
  const input = { items: ['A', 'B'], comparisons };
  expect(bradleyTerry({ ...input, comparisons: [...comparisons, zeros] })).toEqual(bradleyTerry(input));
  expect(expectRefused(() => bradleyTerry({ ...input, comparisons: [zeros] }), 'islands', 'comparisons').got).toBe(
    'A | B',
  );
  // Half an answer is added to answers, not to nothing: no degrees of freedom below zero.
  const marked = { ...input, halfWin: true };
  expectRefused(() => bradleyTerry({ ...marked, comparisons: [zeros] }), 'islands', 'comparisons');
  expect(bradleyTerry({ ...marked, comparisons: [...comparisons, zeros] })).toEqual(
    bradleyTerry({ ...marked, comparisons }),
  );
  const third = [...comparisons, { first: 'B', second: 'C', firstWins: 0, secondWins: 0 }];
  const three = { items: ['A', 'B', 'C'], halfWin: true, comparisons: third };
  expect(expectRefused(() => bradleyTerry(three), 'islands', 'comparisons').got).toBe('A, B | C');
  expectRefused(
    () => bradleyTerry({ ...marked, orderEffect: true, comparisons: [...comparisons, zeros] }),
    'not-identified',
    'orderEffect',
  );
});
