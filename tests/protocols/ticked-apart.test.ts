import { describe, expect, test } from 'vitest';
import { ownRatings } from '../../protocols/own-ratings';
import { type OwnApart, ownApart, tickedAlike, tickedApart } from '../../protocols/ticked-apart';
import type { ListenerId, PrototypeId } from '../../shared/brands';
import { binomialPmf } from '../../stats/binomial';
import { mcnemar } from '../../stats/mcnemar';
import { panel } from './rated';

const a = 'proto-a' as PrototypeId;
const b = 'proto-b' as PrototypeId;
const of = (...lines: string[]) => ownApart(ownRatings(panel(lines, 'home', 'warm'), 'warm'), a, b);
const values = (own: OwnApart[]) => own.map(({ value, times }) => [value, times]);

/** So many who ticked it for the first alone, for the second alone, and for both or none. */
const panelOf = (first: number, second: number, alike: number): OwnApart[] =>
  [...Array<number>(first).fill(1), ...Array<number>(second).fill(-1), ...Array<number>(alike).fill(0)].map(
    (value, i) => ({ listener: `home-${i}` as ListenerId, value, times: 1 }),
  );

describe('each listener’s own difference', () => {
  test('one answer each: 1, 0 or −1; who met only one of them is not there', () => {
    expect(values(of('a1 b0', 'a0 b1', 'a1 b1', 'a0 b0', 'a1'))).toEqual([
      [1, 1],
      [-1, 1],
      [0, 1],
      [0, 1],
    ]);
  });

  test('several times: the share of one less that of the other, over sittings', () => {
    expect(values(of('a1 b0 a1 b1 | a0 b1', 'b0 a1 | b0 a1'))).toEqual([
      [0, 3],
      [1, 2],
    ]);
  });

  test('of each sitting as many of the one as of the other, the first: a repeat of one alone adds nothing', () => {
    expect(values(of('a1 b0 a0', 'a1 b0 a0 | b1', 'a1 | b0'))).toEqual([
      [1, 1],
      [1, 1],
    ]);
  });
});

test('with one answer each it is exact McNemar, whoever else ticked both or none', () => {
  for (let first = 0; first <= 12; first++) {
    for (let second = 0; second <= 12; second++) {
      const { p, difference } = tickedApart(panelOf(first, second, 5), 0.95);
      expect(p, `${first}, ${second}`).toBeCloseTo(mcnemar({ b: first, c: second }).p, 12);
      expect(difference?.value).toBeCloseTo((first - second) / (first + second + 5), 12);
    }
  }
});

test('a published table: 150 and 86 of 1600 changed their mind (Agresti 1990, Categorical Data Analysis, table 10.1)', () => {
  const { p, difference } = tickedApart(panelOf(150, 86, 1600 - 236), 0.95);
  // The exact p as R’s binom.test has it for 86 of 236 (tests/references/mcnemar.json).
  expect(p).toBeCloseTo(3.71593613957143e-5, 15);
  expect(difference?.value).toBeCloseTo(0.04, 12);
  // The interval there, for large samples: 0.04 ± 1.96 · 0.0095 (from memory); ours has one listener more.
  expect(Math.abs((difference?.lower ?? 9) - (0.04 - 1.96 * 0.0095))).toBeLessThan(0.001);
  expect(Math.abs((difference?.upper ?? 9) - (0.04 + 1.96 * 0.0095))).toBeLessThan(0.001);
});

test('nobody there: nothing is said', () => {
  expect(tickedApart([], 0.95)).toEqual({ difference: null, p: null });
  expect(tickedAlike(0.5, [], 0.05)).toBe(false);
});

describe('limits and test', () => {
  test('say the same about no difference at all, for every panel of 3 to 16', () => {
    for (const n of [3, 5, 6, 9, 16]) {
      for (let first = 0; first <= n; first++) {
        for (let second = 0; first + second <= n; second++) {
          const { p, difference } = tickedApart(panelOf(first, second, n - first - second), 0.95);
          const { lower = 9, upper = -9, value = 0 } = difference ?? {};
          const beyond = (p ?? 1) <= 0.05 ? lower >= 0 || upper <= 0 : lower <= 0 && upper >= 0;
          expect(beyond, `${first}, ${second} of ${n}`).toBe(true);
          expect(lower).toBeLessThanOrEqual(value);
          expect(upper).toBeGreaterThanOrEqual(value);
          expect(lower).toBeGreaterThanOrEqual(-1);
          expect(upper).toBeLessThanOrEqual(1);
        }
      }
    }
  });

  test('turned round where the two are exchanged', () => {
    const one = tickedApart(panelOf(7, 2, 6), 0.9);
    const other = tickedApart(panelOf(2, 7, 6), 0.9);
    expect(other.p).toBe(one.p);
    expect(other.difference?.lower).toBeCloseTo(-(one.difference?.upper ?? 9), 12);
    expect(other.difference?.upper).toBeCloseTo(-(one.difference?.lower ?? 9), 12);
  });

  test('where hardly anybody differs they still know that few were asked: none of n speaks for at most about 3/n', () => {
    expect(tickedAlike(0.2, panelOf(0, 0, 10), 0.05)).toBe(false);
    expect(tickedAlike(0.2, panelOf(0, 0, 16), 0.05)).toBe(true);
    expect(tickedApart(panelOf(0, 0, 40), 0.95).difference?.upper).toBeGreaterThan(0.07);
  });
});

/** Probability of each panel of n, where so many tick for the first alone and for the second alone. */
function eachPanel(n: number, first: number, second: number, see: (own: OwnApart[], chance: number) => void): void {
  const changing = first + second;
  for (let count = 0; count <= n; count++) {
    const there = binomialPmf(count, n, changing);
    if (there < 1e-9) continue;
    for (let up = 0; up <= count; up++) {
      see(panelOf(up, count - up, n - count), there * binomialPmf(up, count, changing === 0 ? 0.5 : first / changing));
    }
  }
}

describe('what they err, by enumeration of all panels', () => {
  const designs = [8, 14, 24].flatMap((n) => [0.2, 0.3].flatMap((apart) => [0, 0.08, 0.3].map((q) => [n, apart, q])));

  test('“within ± the smallest” of what is that far apart: hardly more often than 5 %', () => {
    let most = 0;
    for (const [n, apart, other] of designs as [number, number, number][]) {
      let wrong = 0;
      eachPanel(n, apart + other, other, (own, chance) => {
        if (tickedAlike(apart, own, 0.05)) wrong += chance;
      });
      most = Math.max(most, wrong);
    }
    expect(most).toBeLessThan(0.055);
    expect(most).toBeGreaterThan(0.02);
  });

  test('the truth is in the 95 % interval in nearly 95 % or more', () => {
    for (const [n, apart, other] of [...designs, [14, 0, 0.1], [24, 0, 0.25]] as [number, number, number][]) {
      let covered = 0;
      eachPanel(n, apart + other, other, (own, chance) => {
        const { difference } = tickedApart(own, 0.95);
        if ((difference?.lower ?? 9) <= apart + 1e-12 && (difference?.upper ?? -9) >= apart - 1e-12) covered += chance;
      });
      expect(covered, `${n}, ${apart}, ${other}`).toBeGreaterThan(0.94);
    }
  });
});
