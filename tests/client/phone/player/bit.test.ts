import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bitAround } from '../../../../client/phone/player/bit';

test('some seconds around a place, within the piece, of one length wherever it is', () => {
  expect(bitAround(240_000, 480_000, 48_000)).toEqual({ from: 168_000, to: 312_000 });
  expect(bitAround(0, 480_000, 48_000)).toEqual({ from: 0, to: 144_000 });
  expect(bitAround(480_000, 480_000, 48_000)).toEqual({ from: 336_000, to: 480_000 });
  expect(bitAround(10, 96_000, 48_000)).toEqual({ from: 0, to: 96_000 });
  fc.assert(
    fc.property(
      fc.nat(1_000_000),
      fc.integer({ min: 1, max: 1_000_000 }),
      fc.constantFrom(44_100, 48_000),
      (at, frames, rate) => {
        const { from, to } = bitAround(Math.min(at, frames), frames, rate);
        expect(from).toBeGreaterThanOrEqual(0);
        expect(to).toBeLessThanOrEqual(frames);
        expect(to - from).toBe(Math.min(frames, 3 * rate));
        expect(Number.isInteger(from)).toBe(true);
      },
    ),
  );
});
