import { describe, expect, test } from 'vitest';
import { smallerOdds, yesByListener } from '../../protocols/yes-by-listener';
import { seededRandom } from '../../stats/seeded-random';
import type { YesCounts } from '../../stats/stratified-yes';
import { aPlan } from '../blinding/a-plan';
import { yesNoPanel } from './answered-yes-no';

const counts = (hits: number, signalTrials: number, falseAlarms: number, noiseTrials: number): YesCounts => ({
  hits,
  signalTrials,
  falseAlarms,
  noiseTrials,
});

test('smaller odds: every table with these margins counted one by one', () => {
  const choose = (n: number, k: number): number => (k < 0 || k > n ? 0 : k === 0 ? 1 : (choose(n - 1, k - 1) * n) / k);
  const ways = (hits: number, { signalTrials, noiseTrials, ...own }: YesCounts) =>
    choose(signalTrials, hits) * choose(noiseTrials, own.hits + own.falseAlarms - hits);
  for (const [own, others] of [
    [counts(2, 4, 2, 4), counts(9, 10, 1, 10)],
    [counts(4, 4, 4, 4), counts(9, 10, 1, 10)],
    [counts(3, 4, 1, 4), counts(5, 8, 3, 8)],
    [counts(0, 3, 3, 3), counts(6, 6, 0, 5)],
  ] as const) {
    let [few, all] = [0, 0];
    const sum = own.hits + others.hits;
    for (let hits = 0; hits <= own.signalTrials; hits++) {
      const of = ways(hits, own) * ways(sum - hits, others);
      all += of;
      if (hits <= own.hits) few += of;
    }
    expect(smallerOdds(own, others)).toBeCloseTo(few / all, 12);
  }
});

const plan = aPlan({ method: 'same-different', trials: 24 });

test('hits, false alarms, distance and leaning of each', () => {
  const { listeners, told } = yesByListener(
    'same-different',
    yesNoPanel(plan, ['YYYYNnnnny', 'YYYYYyyyyy']),
    plan,
    0.05,
  );
  expect(listeners).toMatchObject([
    { hits: 4, signalTrials: 5, falseAlarms: 1, noiseTrials: 5, note: null },
    { hits: 5, signalTrials: 5, falseAlarms: 5, noiseTrials: 5, p: 1, note: null },
  ]);
  // 26 of 252 ways to put five times yes on ten trials have four or five hits; by hand. Then twice that.
  expect(listeners[0]?.p).toBeCloseTo(26 / 252, 12);
  expect(listeners[0]?.pAdjusted).toBeCloseTo(52 / 252, 12);
  expect(listeners[1]?.criterion).toBeLessThan(listeners[0]?.criterion ?? -9);
  expect(told).toBe(false);
  expect(yesByListener('same-different', [], plan, 0.05)).toEqual({ panelP: 1, told: false, listeners: [] });
});

describe('notes; 10 listeners, 24 trials each, each as ready to say yes as they like', () => {
  const played = (first: readonly [hit: number, alarm: number], hears = true) =>
    Array.from({ length: 100 }, (_, i) => {
      const random = seededRandom(`${first} ${hears} ${i}`);
      const lines = Array.from({ length: 10 }, (_, n) => {
        const ready = 0.15 * (random.uniform() - 0.5);
        const [hit, alarm] = n === 0 ? first : hears ? [0.85 + ready, 0.15 + ready] : [0.5 + ready, 0.5 + ready];
        return Array.from({ length: 24 }, (_, t) =>
          t % 2 === 0 ? (random.uniform() < hit ? 'Y' : 'N') : random.uniform() < alarm ? 'y' : 'n',
        ).join('');
      });
      return yesByListener('same-different', yesNoPanel(plan, lines), plan, 0.05).listeners.map(({ note }) => note);
    });
  const share = (all: (string | null)[][], is: (notes: (string | null)[]) => boolean) =>
    all.filter(is).length / all.length;
  // Listeners come by id: L1, L10, L2 …
  test('who answers the other way round and who guesses are found', () => {
    expect(share(played([0.15, 0.85]), ([first]) => first === 'the-other-way')).toBeGreaterThan(0.9);
    expect(share(played([0.5, 0.5]), ([first]) => first === 'at-random')).toBeGreaterThan(0.5);
  });

  test('who says yes nearly always and hears it is not, nor anybody who hears as the others do', () => {
    expect(share(played([0.97, 0.5]), ([first]) => first !== null)).toBeLessThan(0.2);
    expect(share(played([0.85, 0.15]), (notes) => notes.some(Boolean))).toBeLessThan(0.05);
    expect(share(played([0.5, 0.5], false), (notes) => notes.some(Boolean))).toBeLessThan(0.05);
  });
});
