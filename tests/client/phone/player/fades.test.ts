import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fadedPiece, fadeIn, fadeOut } from '../../../../client/phone/player/fades';

test.each([240, 480, 882, 1920])('a fade over %i frames goes from nothing to all, and never jumps', (frames) => {
  const curve = fadeIn(frames);
  expect(curve).toHaveLength(frames + 1);
  expect([curve[0], curve[frames]]).toEqual([0, 1]);
  expect(curve[frames / 2]).toBeCloseTo(0.5, 6);
  // The steepest step of a raised cosine is half a turn's: π / 2 over its frames.
  const steps = [...curve].slice(1).map((value, at) => value - (curve[at] ?? 0));
  expect(Math.min(...steps)).toBeGreaterThanOrEqual(0);
  expect(Math.max(...steps)).toBeLessThanOrEqual(Math.PI / 2 / frames + 1e-6);
  expect([...fadeOut(frames)]).toEqual([...curve].reverse());
});

test('a piece is the samples as they were, but for its two edges', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 400 }), fc.integer({ min: 1, max: 50 }), (length, frames) => {
      const samples = Float32Array.from({ length: length + 20 }, (_, at) => ((at * 37) % 101) / 101);
      const piece = fadedPiece(samples, 10, 10 + length, frames);
      expect(piece).toHaveLength(length);
      const edge = Math.min(frames, Math.floor(length / 2));
      expect([...piece.subarray(edge, length - edge)]).toEqual([...samples.subarray(10 + edge, 10 + length - edge)]);
      if (length > 1) expect([piece[0], piece[length - 1]]).toEqual([0, 0]);
    }),
  );
});
