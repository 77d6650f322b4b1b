import { describe, expect, test } from 'vitest';
import { isTaste, ratingsByListener } from '../../protocols/ratings-by-listener';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { gradedPanel } from './graded-panel';

/** Twelve listeners, four prototypes, three ratings each, on `bass` and, as if nothing differed there, on `brightness`. */
const plan = aPlan({ method: 'attribute-profile', scales: ['bass', 'brightness'], prototypes: 4, sessions: 3 });
const on = (scale: string, means: readonly number[], odd: 'none' | 'random' | 'inverted', seed: string) =>
  gradedPanel({ listeners: 12, means, ratings: 3, taste: 0.5, odd }, seededRandom(seed)).map((one) => ({
    ...one,
    scale,
  }));
const apart = [-3, -1, 1, 3];
const found = (outcomes: ReturnType<typeof on>, { primary, ...of } = plan) => {
  const ids = [...new Set(outcomes.map(({ scale }) => scale ?? ''))];
  const scales = ids.map((scale) => ({ scale, primary: scale === primary.scale, pairs: [] }));
  return ratingsByListener(outcomes, { scales }, { ...of, primary });
};

test('scales by which the panel tells nothing apart judge nobody; the one of the verdict stands there in any case', () => {
  const told = found([...on('bass', apart, 'none', 'one'), ...on('brightness', [0, 0, 0, 0], 'none', 'two')]);
  expect(told.scales.map(({ scale, told: is }) => [scale, is])).toEqual([['bass', true]]);
  expect(told.notTold).toEqual(['brightness']);
  const turned = found([...on('bass', [0, 0, 0, 0], 'none', 'two'), ...on('brightness', apart, 'inverted', 'one')]);
  expect(turned.scales.map(({ scale, told: is }) => [scale, is])).toEqual([
    ['bass', false],
    ['brightness', true],
  ]);
  for (const one of turned.scales[0]?.listeners ?? []) {
    expect(one).toMatchObject({ discriminationP: null, agreement: null, note: null });
    expect(one.repeatabilitySd).toBeGreaterThan(0);
  }
  expect(turned.scales[1]?.listeners.map(({ note }) => note !== null)).toContain(true);
});

test('one who is inverted and one who is at random are found among those who rate alike', () => {
  const share = (odd: 'random' | 'inverted' | 'none', is: (note: unknown) => boolean, from = 0, to = 1) =>
    Array.from({ length: 12 }, (_, i) => found(on('bass', apart, odd, `${odd} ${i}`)).scales[0]?.listeners ?? [])
      .map((all) => all.filter(({ listener }) => (listener === 'home-1') === (from === 0)).slice(0, to))
      .filter((own) => own.some(({ note }) => is(note))).length / 12;
  expect(share('inverted', (note) => note === 'the-other-way')).toBeGreaterThan(0.8);
  expect(share('random', (note) => note !== null)).toBeGreaterThan(0.4);
  expect(share('none', (note) => note !== null, 1, 11)).toBeLessThan(0.2);
});

test('within a day and from day to day, by hand', () => {
  // Ratings of a in two sittings, 1 and 3 in the first, 5 in the second: within √2; of the means 2 and 5, √4.5.
  const rows = on('bass', apart, 'none', 'one').filter(({ listener }) => listener !== 'home-1');
  const [any] = on('bass', apart, 'none', 'one');
  const own = [
    [1, 1],
    [3, 1],
    [5, 2],
  ].map(([value = 0, sittingNumber = 1], i) => ({
    ...(any as NonNullable<typeof any>),
    value,
    sittingNumber,
    position: i,
  }));
  const one = found([...own, ...rows]).scales[0]?.listeners.find(({ listener }) => listener === 'home-1');
  expect(one?.withinSd).toBeCloseTo(Math.SQRT2, 12);
  expect(one?.acrossSd).toBeCloseTo(Math.sqrt(4.5), 12);
  expect([one?.lowest, one?.highest, one?.ratings]).toEqual([1, 5, 3]);
});

describe('tastes', () => {
  test('liking is one, and what a study of preference rests on', () => {
    expect(isTaste('liking', { aim: 'profile', primary: { first: 'a', second: 'b' } })).toBe(true);
    expect(isTaste('bass', { aim: 'profile', primary: { first: 'a', second: 'b', scale: 'bass' } })).toBe(false);
    expect(isTaste('quality', { aim: 'preference', primary: { first: 'a', second: 'b', scale: 'quality' } })).toBe(
      true,
    );
    expect(isTaste('bass', { aim: 'preference', primary: { first: 'a', second: 'b', scale: 'quality' } })).toBe(false);
  });

  test('nobody is held against the others in them, however odd', () => {
    const liked = aPlan({ method: 'attribute-profile', scales: ['liking', 'bass'], prototypes: 4, sessions: 3 });
    const { scales } = found(on('liking', apart, 'inverted', 'one'), liked);
    expect(scales).toMatchObject([{ scale: 'liking', told: true, taste: true }]);
    for (const one of scales[0]?.listeners ?? []) {
      expect('agreement' in one).toBe(false);
      expect(one.note).toBeNull();
    }
  });
});
