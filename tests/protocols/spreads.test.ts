import { expect, test } from 'vitest';
import { stepOf } from '../../protocols/rated-scale';
import { spreadsOf } from '../../protocols/spreads';
import { continuousQuality } from '../../protocols/standard-scales';
import { unitMeans } from '../../protocols/unit-means';
import type { UnitId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { panel } from './rated';

const plan = aPlan({ method: 'attribute-profile', scales: ['liking'] });

test('median and quartiles are of listeners’ own means, each counting once', () => {
  // Of a: 3 (mean of 2 and 4), 1, 5, 2; by type 7 of 1 2 3 5: 1.75, 2.5, 3.5.
  const outcomes = panel(['a2 b0 | a4 b0', 'a1 b1', 'a5 b0', 'a2']);
  expect(spreadsOf(outcomes, { id: 'liking' }, plan)).toEqual([
    { prototype: 'proto-a', listeners: 4, median: 2.5, lower: 1.75, upper: 3.5, twoPeaks: false },
    { prototype: 'proto-b', listeners: 3, median: 0, lower: 0, upper: 0.5, twoPeaks: false },
  ]);
});

test('one listener has no spread', () => {
  expect(spreadsOf(panel(['a2 b1']), { id: 'liking' }, plan)).toEqual([]);
});

test('two camps are seen', () => {
  const lines = Array.from({ length: 12 }, (_, i) => (i % 2 ? 'a3 b0' : 'a-3 b0'));
  expect(spreadsOf(panel(lines), { id: 'liking', points: 7 }, plan).map(({ twoPeaks }) => twoPeaks)).toEqual([
    true,
    false,
  ]);
});

test('answers on a line gather at its words', () => {
  expect(stepOf({ id: 'liking', points: 7 })).toBe(1);
  expect(stepOf(continuousQuality)).toBe(20);
});

test('means of units, where a prototype has two: each listener counts once in each', () => {
  const two = aPlan({ method: 'attribute-profile', scales: ['liking'], units: [2, 1], sessions: 2 });
  const outcomes = panel(['a2 b0 | a4 b0', 'a1 b1 | a1']).map((one) => ({
    ...one,
    units: [one.prototypes[0] === 'proto-a' && one.sittingNumber === 2 ? 'unit-a2' : one.units[0]] as UnitId[],
  }));
  expect(unitMeans(outcomes, 'liking', two)).toEqual([
    { unit: 'unit-a1', prototype: 'proto-a', mean: 1.5, ratings: 2 },
    { unit: 'unit-a2', prototype: 'proto-a', mean: 2.5, ratings: 2 },
    // 0, twice, of one listener, 1 of the other.
    { unit: 'unit-b1', prototype: 'proto-b', mean: 0.5, ratings: 3 },
  ]);
  expect(unitMeans(outcomes, 'liking', plan)).toBeUndefined();
});
