import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Random } from '../../protocols/random';
import { shuffled } from '../../protocols/random';
import { HmacDrbg } from '../../server/blinding/hmac-drbg';
import { randomnessOf } from '../../server/blinding/randomness';
import { chiSquareUpper } from '../../stats/distributions';

const seed = Buffer.from('00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff', 'hex');
const stream = (random: Random, length = 20) => Array.from({ length }, () => random.below(1_000_000));
const path = fc.array(fc.oneof(fc.integer(), fc.string({ maxLength: 6 })), { maxLength: 4 });

test('property: the same path gives the same stream, another path or seed another one', () => {
  fc.assert(
    fc.property(path, path, (one, two) => {
      const of = (...steps: (string | number)[]) => stream(randomnessOf(seed, 1).at(...steps));
      expect(of(...one)).toEqual(of(...one));
      if (JSON.stringify(one) !== JSON.stringify(two)) expect(of(...one)).not.toEqual(of(...two));
      expect(stream(randomnessOf(Buffer.alloc(32), 1).at(...one))).not.toEqual(of(...one));
      expect(stream(randomnessOf(seed, 2).at(...one))).not.toEqual(of(...one));
    }),
    { seed: 1, numRuns: 100 },
  );
});

test('base and path are one address; 1 and "1" are two', () => {
  expect(stream(randomnessOf(seed, 'a').at('b'))).toEqual(stream(randomnessOf(seed, 'a', 'b').at()));
  expect(stream(randomnessOf(seed).at(1))).not.toEqual(stream(randomnessOf(seed).at('1')));
  expect(stream(randomnessOf(seed).at('a', 'b'))).not.toEqual(stream(randomnessOf(seed).at('ab')));
});

test('a stream is requests of 256 bytes, one after the other', () => {
  // By the generator itself: personalised by the canonical JSON of the address, four bytes a number, none thrown away.
  const source = new HmacDrbg(seed, Buffer.from('fair-hearing/draw/1'), Buffer.from('[1,"a"]'));
  const bytes = Buffer.concat([source.generate(256), source.generate(256), source.generate(256)]);
  const random = randomnessOf(seed, 1).at('a');
  for (let i = 0; i < 192; i++) expect(random.below(2 ** 32)).toBe(bytes.readUInt32BE(4 * i));
});

test('drawing at one address changes nothing at another', () => {
  const randomness = randomnessOf(seed, 1);
  const before = stream(randomness.at('b'));
  stream(randomness.at('a'), 1000);
  expect(stream(randomness.at('b'))).toEqual(before);
});

test('neighbouring addresses are unrelated: the correlation of 20,000 pairs is nothing', () => {
  let sum = 0;
  const pairs = 20_000;
  const randomness = randomnessOf(seed, 1);
  const [a, b] = [randomness.at('listener', 1), randomness.at('listener', 2)];
  for (let i = 0; i < pairs; i++) sum += (a.uniform() - 0.5) * (b.uniform() - 0.5) * 12;
  expect(Math.abs(sum / pairs)).toBeLessThan(4 / Math.sqrt(pairs));
});

test.each([2, 3, 7, 10, 775])('below(%d) favours nobody (chi-square, 20,000 draws)', (n) => {
  const random = randomnessOf(seed, 1).at('below', n);
  const counts = new Array<number>(n).fill(0);
  for (let i = 0; i < 20_000; i++) {
    const drawn = random.below(n);
    counts[drawn] = (counts[drawn] as number) + 1;
  }
  expect(counts.reduce((sum, count) => sum + count, 0)).toBe(20_000);
  const expected = 20_000 / n;
  const p = chiSquareUpper(
    counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0),
    n - 1,
  );
  expect(p).toBeGreaterThan(0.001);
  expect(p).toBeLessThan(0.999);
});

test('below throws away what would favour the small numbers: for 3·2^30 a plain remainder would double a third', () => {
  const n = 3 * 2 ** 30;
  const random = randomnessOf(seed, 1).at('bias');
  let low = 0;
  for (let i = 0; i < 6000; i++) if (random.below(n) < 2 ** 30) low++;
  // A third; a plain remainder would make it a half.
  expect(Math.abs(low / 6000 - 1 / 3)).toBeLessThan(4 * Math.sqrt(2 / 9 / 6000));
});

test('edges of below and uniform', () => {
  const random = randomnessOf(seed, 1).at('edges');
  expect(random.below(1)).toBe(0);
  expect(random.below(2 ** 32)).toBeGreaterThanOrEqual(0);
  for (const n of [0, -1, 1.5, 2 ** 32 + 1, Number.NaN]) expect(() => random.below(n)).toThrow(RangeError);
  for (let i = 0; i < 1000; i++) {
    const drawn = random.uniform();
    expect(drawn >= 0 && drawn < 1).toBe(true);
  }
});

test('shuffled: all 24 orders of four equally often', () => {
  const random = randomnessOf(seed, 1).at('shuffled');
  const counts = new Map<string, number>();
  for (let i = 0; i < 12_000; i++) {
    const order = shuffled([1, 2, 3, 4], random).join('');
    counts.set(order, (counts.get(order) ?? 0) + 1);
  }
  expect(counts.size).toBe(24);
  const p = chiSquareUpper(
    [...counts.values()].reduce((sum, count) => sum + (count - 500) ** 2 / 500, 0),
    23,
  );
  expect(p).toBeGreaterThan(0.001);
});
