import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type BradleyTerryInput, bradleyTerry } from '../../stats/bradley-terry';
import type { ComparisonModel } from '../../stats/comparison-model';
import { type Comparison, readComparisons } from '../../stats/comparisons';
import { StatsError } from '../../stats/errors';
import { findObstacle } from '../../stats/obstacle';
import { PairCounts } from '../../stats/pair-counts';
import { expectClose, expectRefused } from './support';

const names = ['A', 'B', 'C'];
const davidson = { ties: 'davidson' as const };
const order = { orderEffect: true };

/** Sparse answers, so that all that can go wrong does. */
const sparse = fc
  .tuple(fc.integer({ min: 2, max: 3 }), fc.array(fc.constantFrom(0, 0, 0, 1, 2), { minLength: 18, maxLength: 18 }))
  .map(([n, counts]) => {
    const items = names.slice(0, n);
    let at = 0;
    const next = () => counts[at++] ?? 0;
    const comparisons = items.flatMap((first) =>
      items
        .filter((second) => second !== first)
        .map((second) => ({ first, second, firstWins: next(), secondWins: next(), ties: next() })),
    );
    return { items, comparisons };
  });
const model = fc.record({ orderEffect: fc.boolean(), ties: fc.constantFrom('none' as const, 'davidson' as const) });

/**
 * Whether along some direction of a grid no outcome that was seen becomes less probable than another of its comparison.
 * Thirds hold all extreme directions of three items: the bounds of a cycle of three are fractions of at most three steps.
 */
function unboundedByGrid(items: string[], rows: Comparison[], { orderEffect, ties }: Chosen): boolean {
  const asks: { seen: number[]; other: number[] }[] = [];
  const tied = ties === 'davidson';
  // Coefficients of (x₁, x₂, log γ, log ν) in the log weights, the last item standing at 0; doubled, to stay whole.
  for (const row of rows) {
    const weight = (name: string) => [Number(name === 'A') * 2, Number(name === 'B' && items.length === 3) * 2, 0, 0];
    const [own, other] = [weight(row.first), weight(row.second)];
    const mean = own.map((value, k) => (value + (other[k] ?? 0)) / 2);
    const outcomes = [own, [other[0] ?? 0, other[1] ?? 0, 2, 0], [mean[0] ?? 0, mean[1] ?? 0, 0, 2]];
    const counts = [row.firstWins, row.secondWins, tied ? (row.ties ?? 0) : 0];
    outcomes.slice(0, tied ? 3 : 2).forEach((seen, k) => {
      if (counts[k] === 0) return;
      for (const rival of outcomes.slice(0, tied ? 3 : 2)) if (rival !== seen) asks.push({ seen, other: rival });
    });
  }
  const differences = asks.map(({ seen, other }) => seen.map((value, k) => value - (other[k] ?? 0)));
  const range = (most: number) => Array.from({ length: 2 * most + 1 }, (_, k) => k - most);
  for (const x of range(24)) {
    for (const y of items.length === 3 ? range(24) : [0]) {
      for (const g of orderEffect ? range(9) : [0]) {
        // log ν = (u + log γ)/2, doubled here as everything else: u is −3, 0 or 3.
        for (const u of tied ? [-3, 0, 3] : [-g]) {
          if (x === 0 && y === 0 && g === 0 && u === 0) continue;
          if (differences.every(([a = 0, b = 0, c = 0, d = 0]) => a * x + b * y + c * g + (d * (u + g)) / 2 >= 0))
            return true;
        }
      }
    }
  }
  return false;
}
type Chosen = { orderEffect: boolean; ties: 'none' | 'davidson' };

test('an estimate is said to exist just where no direction of a grid lets the likelihood rise for ever', () => {
  const seen = new Map<string, number>();
  fc.assert(
    fc.property(sparse, model, ({ items, comparisons }, chosen) => {
      const rows = readComparisons(comparisons, 'comparisons', items, chosen.ties);
      const pairs = new PairCounts(items.length, [rows], chosen.orderEffect);
      const own: ComparisonModel = { link: 'logit', order: chosen.orderEffect, tied: chosen.ties === 'davidson' };
      const obstacle = findObstacle(pairs, pairs.add(rows), own);
      seen.set(obstacle?.kind ?? 'none', (seen.get(obstacle?.kind ?? 'none') ?? 0) + 1);
      expect(obstacle !== null).toBe(unboundedByGrid(items, comparisons, chosen));
    }),
    { seed: 40, numRuns: 400 },
  );
  // Each obstacle was met, or the test would have shown little.
  for (const kind of ['none', 'islands', 'confounded', 'separated', 'no-ties', 'order', 'ties'])
    expect(seen.get(kind) ?? 0, kind).toBeGreaterThan(2);
});

test('sparse answers are either fitted, every figure finite, or refused by a coded error that says why', () => {
  const link = fc.constantFrom('logit' as const, 'probit' as const);
  fc.assert(
    fc.property(sparse, model, link, (input, chosen, link) => {
      const asked = { ...input, ...chosen, link: chosen.ties === 'davidson' ? ('logit' as const) : link };
      try {
        const { items, logLik, orderEffect, tieParameter } = bradleyTerry(asked);
        const figures = [logLik, ...items.flatMap(({ logWorth, standardError }) => [logWorth, standardError])];
        figures.push(orderEffect?.standardError ?? 0, tieParameter?.standardError ?? 0, orderEffect?.logWorth ?? 0);
        for (const figure of figures) expect(Math.abs(figure)).toBeLessThan(100);
      } catch (error) {
        if (!(error instanceof StatsError)) throw error;
        expect(['islands', 'separated', 'not-identified']).toContain(error.code);
      }
      // Half an answer everywhere leaves only what the design itself can't tell.
      try {
        bradleyTerry({ ...asked, halfWin: true });
      } catch (error) {
        if (!(error instanceof StatsError)) throw error;
        expect(['islands', 'not-identified']).toContain(error.code);
      }
    }),
    { seed: 41, numRuns: 400 },
  );
});

const row = (first: string, second: string, firstWins: number, secondWins: number, ties = 0) => ({
  first,
  second,
  firstWins,
  secondWins,
  ties,
});
const refusedFor = (comparisons: Comparison[], options: Partial<BradleyTerryInput>, code: 'separated', path: string) =>
  expectRefused(() => bradleyTerry({ items: names, comparisons, ...options }), code, path);

test('whoever is first always wins: the order effect has no end, and the pairs are named', () => {
  const comparisons = [row('A', 'B', 3, 0), row('B', 'A', 2, 0), row('B', 'C', 2, 0), row('C', 'B', 1, 0)];
  const error = refusedFor(comparisons, order, 'separated', 'comparisons');
  expect(error.got).toContain('A, first, over B');
  expect(bradleyTerry({ items: names, comparisons }).orderEffect).toBe(null);
  const turned = comparisons.map(({ first, second, firstWins }) => row(first, second, 0, firstWins));
  expect(refusedFor(turned, order, 'separated', 'comparisons').got).toContain('B, second, over A');
});

test('pairs heard in one order only, with no ring that goes round, can’t tell order from worth; levels are named', () => {
  const comparisons = [row('A', 'B', 3, 2), row('B', 'C', 2, 2)];
  const input = { items: names, comparisons, ...order };
  const error = expectRefused(() => bradleyTerry(input), 'not-identified', 'orderEffect');
  expect(error.got).toBe('A before B before C');
  expectRefused(() => bradleyTerry({ ...input, halfWin: true }), 'not-identified', 'orderEffect');
  expectRefused(() => bradleyTerry({ ...input, link: 'probit' }), 'not-identified', 'orderEffect');
  // The ring A–B–C–A goes round: one order a pair is enough.
  const ring = [...comparisons, row('C', 'A', 3, 2)];
  expect(bradleyTerry({ ...input, comparisons: ring }).orderEffect?.standardError).toBeGreaterThan(0);
});

test('Davidson without a tie, and with hardly anything else, says which', () => {
  const none = [row('A', 'B', 3, 2), row('B', 'C', 2, 2)];
  expect(refusedFor(none, davidson, 'separated', 'ties').message).toContain('no tie occurred');
  const only = [row('A', 'B', 0, 0, 4), row('B', 'C', 0, 0, 3)];
  expect(refusedFor(only, davidson, 'separated', 'ties').got).toBe('ties only');
  const hardly = [...only, row('A', 'B', 1, 0)];
  expect(refusedFor(hardly, davidson, 'separated', 'ties').got).toBe('7 ties; wins: A over B');
});

test('a tie joins as a win each way does: chains of wins and ties are enough', () => {
  const comparisons = [row('A', 'B', 3, 0, 1), row('B', 'C', 2, 1, 1)];
  const { items } = bradleyTerry({ items: names, comparisons, ...davidson });
  expect(items[0]?.logWorth).toBeGreaterThan(items[1]?.logWorth ?? 0);
  expect(refusedFor(comparisons, {}, 'separated', 'comparisons').got).toBe('A');
});

test('an existing but far estimate is found and not refused', () => {
  const comparisons = [row('A', 'B', 1e6, 0, 1), row('B', 'C', 5, 5, 1), row('B', 'A', 0, 1e6, 1)];
  const { pairs, orderEffect } = bradleyTerry({ items: names, comparisons, ...davidson, ...order });
  expect(pairs[0]?.difference).toBeGreaterThan(20);
  expectClose(orderEffect?.logWorth, 0, { relative: 0, absolute: 1 }, 'order');
});
