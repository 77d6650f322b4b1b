import fc from 'fast-check';
import { expect, test } from 'vitest';
import { headerBytes, readWav24 } from '../../../../client/phone/player/wav24';
import { wav24Of } from './wav24-of';

test('every value comes out as the share of full scale that it is, bit by bit', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(fc.integer({ min: -(2 ** 23), max: 2 ** 23 - 1 }), fc.integer({ min: -(2 ** 23), max: 2 ** 23 - 1 })),
      ),
      fc.constantFrom(44_100, 48_000, 96_000),
      (frames, rate) => {
        const read = readWav24(wav24Of(rate, frames));
        expect([read.rate, read.frames]).toEqual([rate, frames.length]);
        frames.forEach(([left, right], at) => {
          expect([read.channels[0][at], read.channels[1][at]]).toEqual([left / 2 ** 23, right / 2 ** 23]);
        });
      },
    ),
  );
});

test('a file that lies in the middle of a buffer is read from where it begins', () => {
  const file = wav24Of(48_000, [[1, -1]]);
  const buffer = new Uint8Array(file.length + 7);
  buffer.set(file, 5);
  expect([...readWav24(buffer.subarray(5, 5 + file.length)).channels[1]]).toEqual([-1 / 2 ** 23]);
});

const two: [number, number][] = [
  [1, 2],
  [3, 4],
];
const planted = (at: number, ...bytes: number[]): Uint8Array => {
  const file = wav24Of(48_000, two);
  file.set(bytes, at);
  return file;
};
test.each([
  ['nothing', new Uint8Array(0), 'fewer than the header'],
  ['half a header', wav24Of(48_000, two).subarray(0, 30), 'fewer than the header'],
  ['no RIFF', planted(0, 0x41), 'not RIFF'],
  ['another chunk first', planted(36, 0x4c), 'not RIFF'],
  ['floats', planted(20, 3), 'no plain integers'],
  ['one channel', planted(22, 1), '1 channels'],
  ['16 bits', planted(34, 16), '16 bits'],
  ['no rate', planted(24, 0, 0), 'no rate'],
  ['cut short', wav24Of(48_000, two).subarray(0, headerBytes + 6), 'length'],
  ['too long', new Uint8Array([...wav24Of(48_000, two), 0]), 'length'],
])('%s is refused', (_, bytes, words) => {
  expect(() => readWav24(bytes)).toThrow(words);
});
