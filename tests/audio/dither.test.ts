import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keystream, triangularDither } from '../../server/audio/dither';

const key = (byte: number) => Buffer.alloc(32, byte);

test('the keystream begins with the block of counter 0 under AES-256', () => {
  // McGrew and Viega 2005, “The Galois/Counter Mode of Operation (GCM)”, appendix B, test case 13: a key of zeros, and H,
  // the block of zeros as AES-256 enciphers it.
  const bytes = Buffer.alloc(16);
  keystream(key(0))(bytes);
  expect(bytes.toString('hex')).toBe('dc95c078a2408989ad48a21492842087');
});

test('a stream goes on where it stopped, in whatever pieces it is taken', () => {
  const whole = Buffer.alloc(300_000);
  keystream(key(7))(whole);
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 140_000 }), { minLength: 1, maxLength: 4 }), (sizes) => {
      const random = keystream(key(7));
      let at = 0;
      for (const size of sizes.filter((_, i) => sizes.slice(0, i + 1).reduce((a, b) => a + b) <= whole.length)) {
        const piece = Buffer.alloc(size, 1);
        random(piece);
        expect(piece.equals(whole.subarray(at, at + size))).toBe(true);
        at += size;
      }
    }),
    { seed: 7, numRuns: 20 },
  );
});

test('other keys give other bytes; a key of another length is refused', () => {
  const [one, two] = [Buffer.alloc(64), Buffer.alloc(64)];
  keystream(key(1))(one);
  keystream(key(2))(two);
  expect(one.equals(two)).toBe(false);
  expect(() => keystream(Buffer.alloc(16))).toThrow('32 bytes, not 16');
});

test('triangular: within one step, mean 0, variance 1/6, and half of all within 1 − 1/√2 of the middle', () => {
  const next = triangularDither(keystream(key(3)));
  const n = 400_000;
  const drawn = Float64Array.from({ length: n }, next);
  const mean = drawn.reduce((sum, x) => sum + x, 0) / n;
  const variance = drawn.reduce((sum, x) => sum + x * x, 0) / n;
  const inner = drawn.filter((x) => Math.abs(x) < 1 - Math.SQRT1_2).length / n;
  // Five standard errors: √(1/6/n) = 0.00065; fourth moment 1/15, so that the variance's is √((1/15 − 1/36)/n) = 0.0003.
  expect(Math.abs(mean)).toBeLessThan(0.0033);
  expect(Math.abs(variance - 1 / 6)).toBeLessThan(0.0016);
  expect(Math.abs(inner - 0.5)).toBeLessThan(0.004);
  expect(drawn.every((x) => Math.abs(x) < 1)).toBe(true);
});

test('the mean is 0 exactly: the furthest values lie equally far out', () => {
  const all = (byte: number) => triangularDither((bytes) => bytes.fill(byte))();
  expect(all(0)).toBe(-all(0xff));
});
