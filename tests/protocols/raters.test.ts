import { describe, expect, test } from 'vitest';
import { ratersOf } from '../../protocols/raters';
import { panelPerformance } from '../../stats/panel-performance';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { gradedPanel, type OddOne } from './graded-panel';
import { panel } from './rated';

const plan = aPlan({ method: 'attribute-profile', scales: ['liking'], prototypes: 3, sessions: 2 });
const lines = ['a3 b1 c-1 | a2 b1 c-2', 'a2 b2 c0 | a3 b0 c0', 'a1 b0 c-3 | a2 b-1 c-2', 'a3 b0 c-2 | a3 b1 c-1'];

test('figures are those of a whole panel with replicates, where it is one', () => {
  const outcomes = panel(lines);
  const rows = outcomes.map(({ listener, prototypes, sittingNumber, value }) => ({
    listener,
    item: prototypes[0] as string,
    replicate: sittingNumber,
    score: value,
  }));
  const { listeners } = panelPerformance({ rows });
  const got = ratersOf(outcomes, 'liking', plan);
  got.forEach((rater, i) => {
    const expected = listeners[i];
    expect(rater.listener).toBe(expected?.listener);
    expect(rater.discriminationP).toBeCloseTo(expected?.discriminationP ?? 9, 12);
    expect(rater.repeatabilitySd).toBeCloseTo(expected?.repeatabilitySd ?? 9, 12);
    expect(rater.agreement).toBeCloseTo(expected?.agreement ?? 9, 12);
    expect(rater.bias).toBeCloseTo(expected?.bias ?? 9, 12);
    expect(rater.note).toBeNull();
  });
});

test('without repetitions nothing is said of them; of two prototypes no agreement; gaps are taken as they are', () => {
  const [once] = ratersOf(panel(['a3 b1 c0', 'a2 b1 c1']), 'liking', plan);
  expect(once).toMatchObject({ discriminationP: null, repeatabilitySd: null, note: null });
  const [pair] = ratersOf(panel(['a3 b1', 'a2 b1']), 'liking', plan);
  expect(pair?.agreement).toBeNull();
  // 3 beside a mean of 2.5.
  expect(ratersOf(panel(['a3', 'a2 b1 c0']), 'liking', plan)[0]?.bias).toBe(0.5);
});

describe('notes; 12 listeners, 4 prototypes, 3 ratings each', () => {
  const four = aPlan({ method: 'attribute-profile', scales: ['liking'], prototypes: 4 });
  const played = (odd: OddOne, means: number[]) =>
    Array.from({ length: 60 }, (_, i) => {
      const outcomes = gradedPanel({ listeners: 12, means, ratings: 3, taste: 0.7, odd }, seededRandom(`${odd} ${i}`));
      return ratersOf(outcomes, 'liking', four).map(({ note }) => note);
    });
  const apart = [-3, -1, 1, 3];
  const share = (all: unknown[][], holds: (notes: unknown[]) => boolean) => all.filter(holds).length / all.length;

  test('who turns the scale round is found, and nobody else', () => {
    const all = played('inverted', apart);
    expect(share(all, ([first]) => first === 'the-other-way')).toBeGreaterThan(0.9);
    expect(share(all, ([, ...others]) => others.some(Boolean))).toBeLessThan(0.05);
  });

  test('who rates at random is found in most', () => {
    expect(share(played('random', apart), ([first]) => first !== null)).toBeGreaterThan(0.5);
  });

  test('where all rate alike hardly anybody is noted, and nobody where the panel hears nothing', () => {
    expect(share(played('none', apart), (notes) => notes.some(Boolean))).toBeLessThan(0.1);
    expect(share(played('inverted', [0, 0, 0, 0]), (notes) => notes.some(Boolean))).toBeLessThan(0.04);
  });
});

test('in a large panel the spread of the others follows from the whole table, and notes are those of going through it anew', () => {
  const four = aPlan({ method: 'attribute-profile', scales: ['liking'], prototypes: 4 });
  const random = seededRandom('large');
  const outcomes = gradedPanel(
    { listeners: 60, means: [-3, -1, 1, 3], ratings: 2, taste: 0.7, odd: 'inverted' },
    random,
  );
  const notes = ratersOf(outcomes, 'liking', four).map(({ listener, note }) => [listener, note]);
  expect(notes[0]).toEqual(['home-1', 'the-other-way']);
  // Of 40 the others are gone through anew: the first of them is as far off among these.
  const fewer = outcomes.filter(({ listener }) => Number(listener.slice(5)) <= 40);
  expect(ratersOf(fewer, 'liking', four)[0]?.note).toBe('the-other-way');
  expect(notes.slice(1).filter(([, note]) => note !== null).length).toBeLessThanOrEqual(1);
});

describe('where some rated six times and some once', () => {
  const four = aPlan({ method: 'attribute-profile', scales: ['liking'], prototypes: 4 });
  const panels = Array.from({ length: 80 }, (_, i) =>
    gradedPanel(
      { listeners: 12, means: [-1, -0.4, 0.4, 1], ratings: 6, taste: 0.1, odd: 'none' },
      seededRandom(`uneven ${i}`),
    ).filter(({ listener, sittingNumber }) => Number(listener.slice(5)) > 4 || sittingNumber === 1),
  );
  const noted = (unevenCounts: boolean) =>
    panels.filter((outcomes) => ratersOf(outcomes, 'liking', four, { unevenCounts }).some(({ note }) => note)).length;

  test('chance is given more room in the means of few ratings', () => {
    expect(noted(false)).toBeGreaterThan(10);
    expect(noted(true)).toBeLessThanOrEqual(4);
  });

  test('who turns the scale round with one rating of each is found all the same', () => {
    const found = panels.slice(0, 30).map((outcomes) =>
      ratersOf(
        outcomes.map((one) => ({ ...one, value: one.listener.endsWith('-1') ? -one.value : one.value })),
        'liking',
        four,
        { unevenCounts: true },
      ).find(({ listener }) => listener.endsWith('-1')),
    );
    expect(found.filter((one) => one?.note === 'the-other-way').length).toBeGreaterThan(5);
  });

  test('of as many ratings everybody has the room that there was', () => {
    const even = gradedPanel(
      { listeners: 12, means: [-3, -1, 1, 3], ratings: 3, taste: 0.7, odd: 'random' },
      seededRandom('even'),
    );
    expect(ratersOf(even, 'liking', four, { unevenCounts: true })).toEqual(ratersOf(even, 'liking', four));
  });
});
