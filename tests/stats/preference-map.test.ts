import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type PreferenceMapListener, preferenceMap } from '../../stats/preference-map';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { places: number[][]; liking: number[][]; permutations?: number },
  { meanRSquared: number; p?: number; listeners: PreferenceMapListener[] }
>;

test.each(references<Case[]>('preference-map'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const found = preferenceMap(inputs);
  expectClose(found.meanRSquared, expected.meanRSquared, tolerance, `${id}: mean R²`);
  if (expected.p !== undefined) expectClose(found.p, expected.p, tolerance, `${id}: p`);
  expected.listeners.forEach((listener, i) => {
    const got = found.listeners[i];
    expectClose(got?.intercept, listener.intercept, tolerance, `${id}: intercept ${i}`);
    listener.slopes.forEach((slope, k) => {
      expectClose(got?.slopes[k], slope, tolerance, `${id}: slope ${i} ${k}`);
    });
    if (listener.rSquared === null) expect(got?.rSquared).toBeNull();
    else expectClose(got?.rSquared, listener.rSquared, tolerance, `${id}: R² ${i}`);
  });
});

const whole = fc.integer({ min: -9, max: 9 });
const studies = fc
  .record({
    places: fc.array(fc.tuple(whole, whole), { minLength: 5, maxLength: 6 }),
    liking: fc.array(fc.array(whole, { minLength: 6, maxLength: 6 }), { minLength: 1, maxLength: 5 }),
  })
  .filter(({ places: [[a = 0, b = 0] = [], ...rest], liking }) => {
    const spread = rest.map(([x, y]) => [x - a, y - b] as const);
    const plane = spread.some(([x, y]) => spread.some(([u, v]) => x * v !== y * u));
    return plane && liking.every((row) => new Set(row.slice(0, rest.length + 1)).size > 1);
  })
  .map(({ places, liking }) => ({ places, liking: liking.map((row) => row.slice(0, places.length)) }));

test('samples and listeners in any order, the map turned and moved: fits and p stay', () => {
  fc.assert(
    fc.property(studies, ({ places, liking }) => {
      const { meanRSquared, p, listeners } = preferenceMap({ places, liking });
      const turned = preferenceMap({
        places: places.map(([x, y]) => [0.6 * x - 0.8 * y + 3, 0.8 * x + 0.6 * y - 1]).reverse(),
        liking: liking.map((row) => row.map((one) => 2 * one + 5).reverse()).reverse(),
      });
      expect(turned.meanRSquared).toBeCloseTo(meanRSquared, 10);
      expect(turned.p).toBeCloseTo(p, 10);
      const [first] = listeners;
      const [last] = turned.listeners.slice(-1);
      expect(last?.rSquared).toBeCloseTo(first?.rSquared ?? 9, 9);
      expect(p).toBeGreaterThan(0);
      expect(p).toBeLessThanOrEqual(1);
    }),
    { seed: 1, numRuns: 25 },
  );
});

test('over all orders the mean R² is what is expected of chance, and p is at most α as often as it may be', () => {
  const random = seededRandom('preference map');
  const normal = () => random.uniform() + random.uniform() + random.uniform() - 1.5;
  let [sum, found] = [0, 0];
  const runs = 300;
  for (let i = 0; i < runs; i++) {
    const places = Array.from({ length: 5 }, () => [normal(), normal()]);
    const shared = places.map(normal);
    // Listeners like alike, and it has nothing to do with the map.
    const liking = Array.from({ length: 4 }, () => shared.map((one) => one + normal() / 2));
    const { meanRSquared, p, expected } = preferenceMap({ places, liking });
    expect(expected).toBe(0.5);
    sum += meanRSquared;
    if (p <= 0.05) found++;
  }
  expect(sum / runs).toBeCloseTo(0.5, 1);
  // 5 % of 300 is 15; 27 would come once in 500 times.
  expect(found).toBeLessThan(27);
});

test('from eight samples on deals are random: the same with the same seed, near the truth', () => {
  const places = Array.from({ length: 8 }, (_, i) => [i, (i * 3) % 8]);
  const liking = [places.map(([x = 0]) => x), places.map(([x = 0, y = 0]) => x + y / 4)];
  const found = preferenceMap({ places, liking, permutations: 500 });
  expect(found).toMatchObject({ exact: false, p: 1 / 501 });
  expect(found.meanRSquared).toBeCloseTo(1, 12);
  expect(preferenceMap({ places, liking, permutations: 500, seed: 1 })).toEqual(found);
});

test('refuses what it can’t tell', () => {
  const places = [
    [0, 0],
    [1, 0],
    [0, 1],
    [2, 2],
  ];
  const liking = [[1, 2, 3, 4]];
  expectRefused(() => preferenceMap({ places: places.slice(1), liking: [[1, 2, 3]] }), 'not-enough-data', 'places');
  expectRefused(() => preferenceMap({ places, liking: [[1, 2, 3]] }), 'inconsistent', 'liking');
  expectRefused(() => preferenceMap({ places, liking: [[2, 2, 2, 2]] }), 'no-variation', 'liking');
  expectRefused(() => preferenceMap({ places: places.map(([x = 0]) => [x, 2 * x]), liking }), 'no-variation', 'places');
  expectRefused(() => preferenceMap({ places: places.map(([x = 0]) => [3, x]), liking }), 'no-variation', 'places');
  expectRefused(() => preferenceMap({ places, liking, permutations: 5 }), 'out-of-range', 'permutations');
});
