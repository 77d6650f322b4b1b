import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { noneRules, pairedPreference } from '../../stats/paired-preference';
import { proportionInterval } from '../../stats/proportion-interval';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Part = { trialsUsed: number; p: number };
type Case = ReferenceCase<{ first: number; second: number; none: number }, { drop: Part; split: Part }>;

test.each(references<Case[]>('paired-preference'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  for (const noneRule of ['drop', 'split'] as const) {
    const got = pairedPreference({ ...inputs, noneRule });
    expect(got.trialsUsed).toBe(expected[noneRule].trialsUsed);
    expectClose(got.p, expected[noneRule].p, tolerance, `${id} ${noneRule}`);
  }
});

test('the interval is Clopper–Pearson on the answers used', () => {
  const { share, lower, upper } = pairedPreference({ first: 9, second: 3, level: 0.9 });
  expect({ lower, upper }).toEqual(proportionInterval({ correct: 9, trials: 12, level: 0.9 }));
  expect(share).toBe(0.75);
});

test('an odd answer without preference counts against the leader', () => {
  const led = pairedPreference({ first: 7, second: 4, none: 3, noneRule: 'split' });
  expect(led).toMatchObject({ share: 8 / 14, trialsUsed: 14 });
  expect(led.p).toBe(binomialTest({ correct: 8, trials: 14, alternative: 'two-sided' }).p);
  const behind = pairedPreference({ first: 4, second: 7, none: 3, noneRule: 'split' });
  expect(behind.share).toBeCloseTo(6 / 14, 15);
  expect(behind.p).toBe(led.p);
});

test('with no leader the odd answer favours neither', () => {
  for (const alternative of ['greater', 'less', 'two-sided'] as const) {
    const { share, p, lower, upper } = pairedPreference({
      first: 3,
      second: 3,
      none: 1,
      noneRule: 'split',
      alternative,
    });
    expect(share).toBe(0.5);
    expectClose(lower + upper, 1, { relative: 1e-12, absolute: 0 }, 'symmetrical');
    expect(p).toBeGreaterThan(0.5);
  }
});

test('proportional leaves share and p as drop has them', () => {
  const input = { first: 11, second: 5, none: 6 };
  expect(pairedPreference({ ...input, noneRule: 'proportional' })).toEqual(pairedPreference(input));
});

test('changing sides mirrors the result; all one way is defined; no answer is refused', () => {
  const one = pairedPreference({ first: 10, second: 4, none: 2 });
  const other = pairedPreference({ first: 4, second: 10, none: 2 });
  expectClose(other.p, one.p, { relative: 1e-12, absolute: 0 }, 'p');
  expectClose(1 - other.upper, one.lower, { relative: 1e-10, absolute: 0 }, 'limits');
  expect(pairedPreference({ first: 6, second: 0 })).toMatchObject({ share: 1, p: 1 / 32, upper: 1 });
  expect(pairedPreference({ first: 0, second: 0, none: 4, noneRule: 'split' })).toMatchObject({ share: 0.5, p: 1 });
  expectRefused(() => pairedPreference({ first: 0, second: 0, none: 4 }), 'not-enough-data', 'first');
  expectRefused(() => pairedPreference({ first: 0, second: 0, noneRule: 'split' }), 'not-enough-data', 'first');
});

/** P of each number of preferences for the first, every sequence of tosses written out. */
function tossed(answers: number): number[] {
  const outcomes = new Array<number>(answers + 1).fill(0);
  for (let sequence = 0; sequence < 2 ** answers; sequence++) {
    let first = 0;
    for (let i = 0; i < answers; i++) first += (sequence >> i) & 1;
    outcomes[first] = (outcomes[first] ?? 0) + 2 ** -answers;
  }
  return outcomes;
}

test('every panel of up to 4 answers each way and 3 without, by enumeration: each rule, each direction, share and trials used', () => {
  const sum = (outcomes: number[], keep: (k: number) => boolean) =>
    outcomes.reduce((total, p, k) => (keep(k) ? total + p : total), 0);
  for (let first = 0; first <= 4; first++) {
    for (let second = 0; second <= 4; second++) {
      for (let none = 0; none <= 3; none++) {
        for (const noneRule of noneRules) {
          const used = first + second + (noneRule === 'split' ? none : 0);
          if (used === 0) continue;
          const outcomes = tossed(used);
          // What the first may have after splitting: an odd answer goes to whoever is behind, to either where nobody is.
          const half = Math.floor(none / 2);
          const odd = none % 2;
          const counts =
            noneRule !== 'split'
              ? [first]
              : first > second
                ? [first + half]
                : first < second
                  ? [first + half + odd]
                  : [first + half, first + half + odd];
          const share = counts.reduce((a, b) => a + b, 0) / counts.length / used;
          for (const alternative of ['greater', 'less', 'two-sided'] as const) {
            const ps = counts.map((count) => {
              if (alternative === 'greater') return sum(outcomes, (k) => k >= count);
              if (alternative === 'less') return sum(outcomes, (k) => k <= count);
              return sum(outcomes, (k) => Math.abs(2 * k - used) >= Math.abs(2 * count - used));
            });
            const got = pairedPreference({ first, second, none, noneRule, alternative });
            const what = `${first} ${second} ${none} ${noneRule} ${alternative}`;
            expectClose(got.p, Math.max(...ps), { relative: 1e-12, absolute: 0 }, what);
            expectClose(got.share, share, { relative: 1e-12, absolute: 0 }, what);
            expect(got.trialsUsed).toBe(used);
          }
        }
      }
    }
  }
});

test('the limits hold half of 1 − level outside, hold the share, widen with the level and shrink with the panel', () => {
  const panel = fc.tuple(fc.nat(30), fc.nat(30), fc.nat(9)).filter(([first, second]) => first + second > 0);
  fc.assert(
    fc.property(panel, fc.constantFrom(0.5, 0.8, 0.95, 0.99), ([first, second, none], level) => {
      for (const noneRule of noneRules) {
        const { share, lower, upper, trialsUsed } = pairedPreference({ first, second, none, noneRule, level });
        expect(lower).toBeLessThanOrEqual(share);
        expect(upper).toBeGreaterThanOrEqual(share);
        const wider = pairedPreference({ first, second, none, noneRule, level: 0.999 });
        expect(wider.lower).toBeLessThanOrEqual(lower);
        expect(wider.upper).toBeGreaterThanOrEqual(upper);
        const larger = pairedPreference({ first: 4 * first, second: 4 * second, none: 4 * none, noneRule, level });
        expect(larger.upper - larger.lower).toBeLessThan(upper - lower);
        if (noneRule === 'split') continue;
        const tail = (1 - level) / 2;
        const p = (chance: number, alternative: 'greater' | 'less') =>
          binomialTest({ correct: first, trials: trialsUsed, chance, alternative }).p;
        if (first > 0) expectClose(p(lower, 'greater'), tail, { relative: 1e-9, absolute: 0 }, 'lower');
        if (second > 0) expectClose(p(upper, 'less'), tail, { relative: 1e-9, absolute: 0 }, 'upper');
      }
    }),
    { seed: 21, numRuns: 25 },
  );
});

test('what is no count, no rule, no level, or misspelt is refused', () => {
  const input = { first: 3, second: 4 };
  expectRefused(() => pairedPreference({ ...input, first: -1 }), 'out-of-range', 'first');
  expectRefused(() => pairedPreference({ ...input, second: 2.5 }), 'wrong-type', 'second');
  expectRefused(() => pairedPreference({ ...input, none: Number.NaN }), 'wrong-type', 'none');
  expectRefused(() => pairedPreference({ ...input, none: '3' as never }), 'wrong-type', 'none');
  expectRefused(() => pairedPreference({ ...input, level: 1 }), 'out-of-range', 'level');
  expectRefused(() => pairedPreference({ ...input, noneRule: 'splitt' as never }), 'unknown-choice', 'noneRule');
  expectRefused(() => pairedPreference({ ...input, alternative: 'more' as never }), 'unknown-choice', 'alternative');
  expectRefused(() => pairedPreference({ ...input, nonerule: 'drop' } as never), 'unknown-option', 'nonerule');
});
