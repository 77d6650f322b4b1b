import { describe, expect, test } from 'vitest';
import { similarityOf, similarityP } from '../../protocols/similarity';
import { mostSought, similarityFinds, similarityMisses, similarityNeeded } from '../../protocols/similarity-power';
import { ownShare } from '../../protocols/virtual-listener';
import type { Plan } from '../../shared/plan';
import { binomialCdf } from '../../stats/distributions';
import { seededRandom } from '../../stats/seeded-random';
import { similaritySize } from '../../stats/similarity-size';
import { aPlan } from '../blinding/a-plan';

const once = (right: number, listeners: number) =>
  Array.from({ length: listeners }, (_, i) => ({ correct: i < right ? 1 : 0, trials: 1 }));

test('triangle, 72 listeners once each, 30 %, β 0.05: 30 right are similar, 31 are not', () => {
  // ISO 4120:2021, Table A.2, row 72: 30 (from memory).
  const passes = similarityOf(once(30, 72), 1 / 3, 0.3, 0.05);
  const fails = similarityOf(once(31, 72), 1 / 3, 0.3, 0.05);
  expect(passes?.p).toBeLessThanOrEqual(0.05);
  expect(fails?.p).toBeGreaterThan(0.05);
  expect(passes?.detail).toMatchObject({ limit: 0.3, level: 0.95, by: 'exact-count', most: 30 });
  expect(passes?.detail.upper).toBeLessThan(0.3);
  expect(fails?.detail.upper).toBeGreaterThan(0.3);
});

test('the same 72 trials by six listeners show nothing: half a dozen may well hold nobody who hears it', () => {
  const found = similarityOf(Array(6).fill({ correct: 4, trials: 12 }), 1 / 3, 0.3, 0.05);
  expect(found?.p).toBeGreaterThan(0.05);
  expect(found?.detail.by).toBe('over-listeners');
  expect(found?.detail.most as number).toBeLessThan(24);
});

test('without answers there is nothing to say', () => {
  expect(similarityOf([], 1 / 3, 0.3, 0.05)).toBeNull();
  expect(similarityP([], 1 / 3, 0.3)).toBeNull();
});

/** P(X ≤ most) of listeners who are each of one of two kinds, by adding up listener after listener. */
function fewRight(kinds: { weight: number; right: number }[], listeners: number, trials: number, most: number): number {
  const one = Array.from({ length: trials + 1 }, (_, k) =>
    kinds.reduce((sum, { weight, right }) => {
      let p = weight * right ** k * (1 - right) ** (trials - k);
      for (let i = 1; i <= k; i++) p *= (trials - k + i) / i;
      return sum + p;
    }, 0),
  );
  let all = [1];
  for (let n = 0; n < listeners; n++) {
    const next = new Array<number>(all.length + trials).fill(0);
    all.forEach((p, i) => {
      one.forEach((q, k) => {
        next[i + k] = (next[i + k] as number) + p * q;
      });
    });
    all = next;
  }
  return all.slice(0, most + 1).reduce((sum, p) => sum + p, 0);
}

test.each([
  // Listeners, answers of each, chance, limit, β, and how rarely those hear it who don't hear it always.
  [3, 40, 1 / 3, 0.45, 0.2, 0.169],
  [4, 40, 1 / 3, 0.45, 0.1, 0.113],
  [2, 40, 1 / 2, 0.5, 0.3, 0.3],
  [1, 40, 1 / 2, 0.5, 0.5, 0.5],
])(
  'nor do few who answer often pass as alike: %i × %i, chance %f, limit %f',
  (n, each, chance, limit, beta, rarely) => {
    const counts = (right: number) =>
      Array.from({ length: n }, (_, i) => ({ correct: i === 0 ? right : 0, trials: each }));
    const most = similarityOf(counts(0), chance, limit, beta)?.detail.most as number;
    const always = (limit - rarely) / (1 - rarely);
    const kinds = [
      { weight: always, right: 1 },
      { weight: 1 - always, right: chance + (1 - chance) * rarely },
    ];
    expect(fewRight(kinds, n, each, most)).toBeLessThan(beta * 1.02);
  },
);

describe('a false "similar" comes with β at most, however listeners differ', () => {
  // How each listener's own share is drawn, with the limit as the mean: all alike, always or never, and between.
  const spreads = { 'all alike': 0, between: 0.3, 'always or never': 1 };
  test.each(Object.entries(spreads))('%s', (_, gamma) => {
    const random = seededRandom(`similar ${gamma}`);
    for (const { listeners, trials, chance, limit } of [
      { listeners: 12, trials: 4, chance: 1 / 3, limit: 0.3 },
      { listeners: 24, trials: 8, chance: 1 / 2, limit: 0.2 },
    ]) {
      const panels = 800;
      let shown = 0;
      for (let panel = 0; panel < panels; panel++) {
        const counts = Array.from({ length: listeners }, () => {
          const right = chance + (1 - chance) * ownShare(limit, gamma, random);
          let correct = 0;
          for (let t = 0; t < trials; t++) if (random.uniform() < right) correct++;
          return { correct, trials };
        });
        if ((similarityP(counts, chance, limit) ?? 1) <= 0.05) shown++;
      }
      // 4 standard errors over β.
      expect(shown / panels).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / panels));
    }
  });
});

describe('what a plan can show', () => {
  const plan = (
    trials: number,
    listeners: number,
    change: Partial<{ alpha: number; beta: number; limit: number }> = {},
  ) =>
    aPlan({
      method: 'triangle',
      aim: 'similarity',
      trials,
      audiences: [['home', listeners]],
      risks: {
        alpha: change.alpha ?? 0.05,
        beta: change.beta ?? 0.05,
        smallest: { kind: 'heard', value: change.limit ?? 0.3 },
      },
    });

  test('with one trial each as many listeners as the published rule for sizes has', () => {
    for (const limit of [0.2, 0.3, 0.5]) {
      for (const alpha of [0.05, 0.2]) {
        const { lasting } = similaritySize({ chance: 1 / 3, pd: limit, beta: 0.05, power: 1 - alpha });
        expect(similarityNeeded(plan(1, 24, { limit, alpha }), 1 / 3)).toEqual({
          listeners: lasting.trials,
          trials: lasting.trials,
        });
      }
    }
  });

  test('a listener fewer than needed falls short, that number and more never do', () => {
    const needed = similarityNeeded(plan(4, 24), 1 / 3)?.listeners as number;
    const power = (listeners: number) => similarityFinds(plan(4, listeners), 1 / 3).audiences[0]?.power as number;
    expect(power(needed - 1)).toBeLessThan(0.95);
    for (let more = 0; more < 20; more++) expect(power(needed + more)).toBeGreaterThanOrEqual(0.95);
    expect(needed).toBeLessThan(similarityNeeded(plan(1, 24), 1 / 3)?.listeners as number);
  });

  test('nobody waits for the size of a study that nobody could hold', () => {
    const base = plan(40, 200, { limit: 0.01, beta: 0.001 });
    const largest = { ...base, sessions: { ...base.sessions, count: 12 } };
    // Looked for listener by listener up to 2,000 of 480 answers each, this took many minutes.
    expect(similarityNeeded(largest, 1 / 3)).toBeNull();
    expect(mostSought(480)).toBe(41);
  });

  test('the chance to miss it is told from nothing heard up to below the limit, by the count that decides', () => {
    const { audiences, beta, trialsEach } = similarityFinds(plan(3, 24), 1 / 3);
    const [home] = audiences;
    expect({ beta, trialsEach }).toEqual({ beta: 0.05, trialsEach: 3 });
    expect(home).toMatchObject({ listeners: 24, trials: 72, most: 28, guessed: 24 });
    expect(home?.misses.map(({ heard }) => heard)).toEqual([0, 0.05, 0.1, 0.2]);
    expect(home?.power).toBe(binomialCdf(28, 72, 1 / 3));
    for (const { heard, miss } of home?.misses ?? []) {
      expect(miss).toBeCloseTo(1 - binomialCdf(28, 72, 1 / 3 + (2 / 3) * heard), 12);
    }
  });

  test('two audiences share β', () => {
    const two = {
      ...plan(3, 24),
      audiences: [...plan(3, 24).audiences, ...aPlan({ audiences: [['stage', 24]] }).audiences],
    };
    const { beta, audiences } = similarityFinds(two, 1 / 3);
    expect(beta).toBe(0.025);
    expect(audiences[1]?.most as number).toBeLessThan(28);
  });

  test('a panel that could never show it misses it always', () => {
    expect(similarityMisses([1, 1], 1 / 2, 0.1, 0.05)).toEqual([
      { heard: 0, miss: 1 },
      { heard: 0.05, miss: 1 },
    ]);
    expect(similarityMisses([], 1 / 2, 0.1, 0.05)).toEqual([]);
  });
});

test('which one has more: the chance to show likeness counts what is heard the other way round', () => {
  const pair = (listeners: number): Plan =>
    aPlan({
      method: '2-afc',
      aim: 'similarity',
      spec: { trials: 1, attribute: 'bass' },
      audiences: [['home', listeners]],
      risks: { alpha: 0.2, beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
    });
  const of = (listeners: number) => similarityFinds(pair(listeners), 1 / 2).audiences[0];
  const found = of(72);
  // Guessing is right in a half of 72: what may be right at most may be wrong at most.
  expect(found?.least).toBe(72 - (found?.most as number));
  expect(found?.power).toBeCloseTo(
    binomialCdf(found?.most as number, 72, 0.5) - binomialCdf((found?.least as number) - 1, 72, 0.5),
    12,
  );
  const needed = similarityNeeded(pair(10), 1 / 2)?.listeners as number;
  expect(of(needed)?.power).toBeGreaterThanOrEqual(0.8);
  expect(of(needed - 1)?.power).toBeLessThan(0.8);
});
