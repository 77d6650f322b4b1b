import { describe, expect, test } from 'vitest';
import { analysePairedPreference } from '../../protocols/paired-preference-analysis';
import type { AnalyseOptions, Truth } from '../../protocols/protocol';
import type { AudienceResult, PairResult } from '../../protocols/results';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { simulated } from './simulated-study';

/** How often the verdict errs, and finds, over whole simulated studies with fixed seeds. */
type Result = AudienceResult & { primary: PairResult };
function studies(
  count: number,
  wish: PlanWish,
  truth: Truth,
  listeners: number,
  repeats: number,
  options: AnalyseOptions = { verdictOnly: true },
): Result[] {
  const plan = aPlan(wish);
  return Array.from({ length: count }, (_, i) => {
    const outcomes = simulated(plan, truth, listeners, repeats, seededRandom(`study ${i}`));
    const [result] = analysePairedPreference(outcomes, plan, options).results;
    return result as Result;
  });
}
const share = (results: Result[], holds: (result: Result) => boolean) => results.filter(holds).length / results.length;

describe('nobody prefers anything on the whole, though tastes are strongly held (γ = 0.5); 8 listeners × 3', () => {
  const taste = { gamma: 0.5 };

  test('2,000 studies of two prototypes: “preferred” in at most 6 %, where naive pooling errs in more than 8 %', () => {
    const results = studies(2000, {}, taste, 8, 3);
    const wrong = share(results, ({ verdict }) => verdict === 'preferred');
    expect(wrong).toBeLessThanOrEqual(0.06);
    expect(wrong).toBeGreaterThan(0.01);
    expect(share(results, ({ primary }) => (primary.pooled.p ?? 1) <= 0.05)).toBeGreaterThan(0.08);
    // The verdict is nothing but its test: no other way to “preferred”.
    expect(results.every(({ verdict, primary }) => (verdict === 'preferred') === (primary.p ?? 1) <= 0.05)).toBe(true);
  });

  test('2,000 studies of three: some other pair in at most 6 %, uncorrected in more', () => {
    const results = studies(2000, { prototypes: 3 }, taste, 8, 3);
    const any = (p: 'p' | 'pAdjusted') =>
      share(results, ({ pairs }) => pairs.some((pair) => !pair.primary && (pair[p] ?? 1) <= 0.05));
    expect(share(results, ({ verdict }) => verdict === 'preferred')).toBeLessThanOrEqual(0.06);
    expect(any('pAdjusted')).toBeLessThanOrEqual(0.06);
    expect(any('p')).toBeGreaterThan(any('pAdjusted'));
  });

  test('a pull toward what is heard first makes no preference: it falls on both alike', () => {
    const results = studies(400, {}, { gamma: 0.3, positionBias: 1 }, 8, 4);
    expect(share(results, ({ verdict }) => verdict === 'preferred')).toBeLessThanOrEqual(0.06);
  });
});

describe('a planted preference is found', () => {
  const worth = { 'proto-b': Math.log(0.85 / 0.15) };

  test('a share of 0.85, 12 listeners × 3: nearly always, and the right one', () => {
    const results = studies(300, { audiences: [['home', 12]] }, { worth, gamma: 0.3 }, 12, 3);
    expect(share(results, ({ preferred }) => preferred === 'proto-b')).toBeGreaterThan(0.9);
    expect(results.every(({ preferred }) => preferred !== 'proto-a')).toBe(true);
    const mean = results.reduce((sum, { primary }) => sum + (primary.share?.value ?? 0), 0) / results.length;
    expect(Math.abs(mean - 0.15)).toBeLessThan(0.02);
  });

  test('its interval covers the truth about as often as it says', () => {
    const results = studies(400, { audiences: [['home', 12]] }, { worth, gamma: 0.3 }, 12, 3);
    const covered = share(
      results,
      ({ primary }) => (primary.share?.lower ?? 1) <= 0.15 && (primary.share?.upper ?? 0) >= 0.15,
    );
    expect(covered).toBeGreaterThan(0.92);
  });

  test('with three prototypes the scores put it first', () => {
    const results = studies(60, { prototypes: 3, audiences: [['home', 12]] }, { worth, gamma: 0.3 }, 12, 2, {
      resamples: 100,
    });
    const best = ({ scores }: Result) => scores?.scores.toSorted((a, b) => b.logWorth - a.logWorth)[0]?.prototype;
    expect(share(results, (result) => best(result) === 'proto-b')).toBeGreaterThan(0.95);
  });
});
