import { expect, test } from 'vitest';
import { generatorFrom, seededRandom } from '../../stats/seeded-random';
import { expectRefused, references } from './support';

test('xoshiro128**: the words that follow the state 1, 2, 3, 4', () => {
  const { xoshiro128starstar } = references<{ xoshiro128starstar: { words: number[] } }>('distributions');
  const random = generatorFrom(1, 2, 3, 4);
  expect(xoshiro128starstar.words.map(() => random.word())).toEqual(xoshiro128starstar.words);
});

test('the same seed gives the same numbers, another seed others', () => {
  const draw = (seed: number | string) => {
    const random = seededRandom(seed);
    return Array.from({ length: 8 }, () => random.uniform());
  };
  expect(draw(7)).toEqual(draw(7));
  expect(draw('panel')).toEqual(draw('panel'));
  expect(new Set([draw(0), draw(1), draw('panel'), draw('panels')].map((numbers) => numbers[0])).size).toBe(4);
});

test('uniform fills [0, 1) evenly, with bits below the 32nd', () => {
  const random = seededRandom(11);
  const bins = new Array<number>(10).fill(0);
  let fine = 0;
  for (let i = 0; i < 20_000; i++) {
    const u = random.uniform();
    expect(u >= 0 && u < 1).toBe(true);
    bins[Math.floor(u * 10)] = (bins[Math.floor(u * 10)] ?? 0) + 1;
    if (!Number.isInteger(u * 2 ** 32)) fine++;
  }
  // χ² with 9 degrees of freedom exceeds 27.9 with probability 0.001.
  expect(bins.reduce((sum, count) => sum + (count - 2000) ** 2 / 2000, 0)).toBeLessThan(27.9);
  expect(fine).toBeGreaterThan(19_900);
});

test('below is even also where n divides 2^32 badly', () => {
  const random = seededRandom(12);
  const n = 3_000_000_000;
  let low = 0;
  // Taking the remainder of a 32-bit word would put 60 % into the lower 43 %.
  for (let i = 0; i < 20_000; i++) if (random.below(n) < n * 0.43) low++;
  expect(low / 20_000).toBeGreaterThan(0.41);
  expect(low / 20_000).toBeLessThan(0.45);
  expect(random.below(1)).toBe(0);
  expect(random.below(2 ** 32)).toBeLessThan(2 ** 32);
});

test.each([0, -1, 1.5, 2 ** 32 + 1, Number.NaN])('below(%s) is refused', (n) => {
  const error = expectRefused(() => seededRandom(1).below(n), Number.isInteger(n) ? 'out-of-range' : 'wrong-type', 'n');
  expect(error.allowed).toContain('4294967296');
});
