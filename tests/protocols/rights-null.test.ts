import { describe, expect, test } from 'vitest';
import { alphaEach } from '../../protocols/alpha-each';
import { methodOf } from '../../protocols/index';
import type { AnalyseOptions, Truth } from '../../protocols/protocol';
import type { AudienceResult } from '../../protocols/results';
import { analyseRights } from '../../protocols/right-answers';
import { rightsPower } from '../../protocols/rights-power';
import type { AudienceId } from '../../shared/brands';
import { criticalCount } from '../../stats/critical-count';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { designsOf, quickRandomness, wholeStudy } from './whole-study';

/** How often ABX errs, and finds, over whole studies with fixed seeds, from the method's own draw to its verdict. */
function studies(count: number, wish: PlanWish, truths: Truth[], options: AnalyseOptions): AudienceResult[][] {
  const plan = aPlan({ method: 'abx', ...wish });
  return Array.from(
    { length: count },
    (_, i) => analyseRights(wholeStudy(plan, truths, `study ${i}`), plan, 1 / 2, options).results,
  );
}
const verdicts = (count: number, wish: PlanWish, ...truths: Truth[]) =>
  studies(count, wish, truths, { verdictOnly: true });
const share = <T>(all: T[], holds: (one: T) => boolean) => all.filter(holds).length / all.length;
const shown = (result: AudienceResult | undefined) => result?.verdict === 'difference-shown';
/** Four standard errors of a share that is near to p. */
const near = (p: number, count: number) => 4 * Math.sqrt((p * (1 - p)) / count);
const nothing = {};

describe('nobody hears anything', () => {
  test.each([
    [6, 1, 0.05],
    [5, 2, 0.1],
  ])(
    '8 listeners × %i trials × %i sessions at α = %f: shown as often as the exact test errs, which is at most α',
    (trials, sessions, alpha) => {
      const results = verdicts(600, { trials, sessions, risks: { alpha } }, nothing).map(([home]) => home);
      const { attainedAlpha } = criticalCount({ trials: 8 * trials * sessions, chance: 0.5, alpha });
      const wrong = share(results, shown);
      expect(attainedAlpha).toBeLessThanOrEqual(alpha);
      expect(wrong).toBeLessThanOrEqual(alpha + near(alpha, 600));
      expect(Math.abs(wrong - attainedAlpha)).toBeLessThan(near(attainedAlpha, 600));
      // The verdict is nothing but its test.
      for (const result of results) expect(shown(result)).toBe((result?.p ?? 1) <= alpha);
    },
  );

  test('a strong habit of saying “the first” helps nobody: the third is drawn by itself', () => {
    const results = verdicts(400, {}, { positionBias: 3 }).map(([home]) => home);
    const { attainedAlpha } = criticalCount({ trials: 48, chance: 0.5, alpha: 0.05 });
    expect(Math.abs(share(results, shown) - attainedAlpha)).toBeLessThan(near(attainedAlpha, 400));
  });

  test('two audiences: either is shown in at most α, where each by itself would err in more', () => {
    const wish: PlanWish = {
      audiences: [
        ['home', 7],
        ['stage', 4],
      ],
    };
    const results = verdicts(600, wish, nothing, nothing);
    expect(share(results, (both) => both.some(shown))).toBeLessThanOrEqual(0.05 + near(0.05, 600));
    expect(share(results, (both) => both.some(({ p }) => (p ?? 1) <= 0.05))).toBeGreaterThan(0.055);
  });

  test('one audience hears it, the other doesn’t: the other is shown in at most α', () => {
    const wish: PlanWish = {
      trials: 12,
      audiences: [
        ['home', 8],
        ['stage', 6],
      ],
    };
    const results = verdicts(400, wish, { listenersWhoHear: 1, heard: 0.8 }, nothing);
    expect(share(results, ([home]) => shown(home))).toBeGreaterThan(0.99);
    expect(share(results, ([, stage]) => shown(stage))).toBeLessThanOrEqual(0.05 + near(0.05, 400));
  });
});

test('habits that differ from listener to listener: a directional pair errs no oftener than its test', () => {
  const plan = aPlan({ method: '2-afc', trials: 4, audiences: [['home', 8]] });
  const { protocol, form } = methodOf(plan);
  const random = seededRandom('habits');
  const { attainedAlpha, count } = criticalCount({ trials: 32, chance: 0.5, alpha: 0.05 });
  let wrong = 0;
  for (let study = 0; study < 600; study++) {
    const randomness = quickRandomness(`habits ${study}`);
    let right = 0;
    for (let ordinal = 1; ordinal <= 8; ordinal++) {
      const picked = 1 + random.below(2);
      const seat = { audience: 'home' as AudienceId, ordinal, sitting: 1 };
      for (const design of designsOf(plan, seat, randomness).slice(1)) {
        right += protocol.score(form, design, { picked }, plan)[0]?.value ?? Number.NaN;
      }
    }
    if (right >= (count ?? 99)) wrong++;
  }
  expect(wrong / 600).toBeLessThanOrEqual(attainedAlpha + near(attainedAlpha, 600));
  expect(wrong).toBeGreaterThan(0);
});

describe('everybody hears it in 3 of 10 trials; 8 listeners × 12', () => {
  const results = studies(250, { trials: 12 }, [{ listenersWhoHear: 1, heard: 0.3 }], {}).map(([home]) => home);

  test('found as often as the power says', () => {
    const power = rightsPower(96, 1 / 2, 0.05, 0.3);
    expect(power).toBeGreaterThan(0.85);
    expect(Math.abs(share(results, shown) - power)).toBeLessThan(near(power, 250));
    const miss = results[0]?.difference?.misses.find(({ heard }) => heard === 0.3)?.miss;
    expect(miss).toBeCloseTo(1 - power, 12);
  });

  test('the interval holds the truth at least as often as it says, and the estimate is right in the mean', () => {
    const holds = share(results, (one) => (one?.estimate?.lower ?? 1) <= 0.3 && (one?.estimate?.upper ?? 0) >= 0.3);
    expect(holds).toBeGreaterThan(0.95 - near(0.05, 250));
    const mean = results.reduce((sum, one) => sum + (one?.estimate?.value ?? 0), 0) / results.length;
    expect(Math.abs(mean - 0.3)).toBeLessThan(0.02);
  });
});

test('two audiences who both hear it: each is found at least as often as the power at α/2 promises', () => {
  const wish: PlanWish = {
    trials: 8,
    audiences: [
      ['home', 8],
      ['stage', 6],
    ],
  };
  const truth = { listenersWhoHear: 1, heard: 0.4 };
  const results = verdicts(300, wish, truth, truth);
  const alpha = alphaEach(aPlan({ method: 'abx', ...wish }));
  for (const [audience, trials] of [
    [0, 64],
    [1, 48],
  ] as const) {
    const promised = rightsPower(trials, 1 / 2, alpha, 0.4);
    const found = share(results, (both) => shown(both[audience]));
    expect(found).toBeGreaterThan(promised - near(promised, 300));
  }
});
