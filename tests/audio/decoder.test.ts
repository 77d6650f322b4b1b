import { expect, it } from 'vitest';
import { Decoder } from '../../server/audio/decoder';
import { soundBytes } from './decoded';

const bytes = soundBytes('tune-bare.mp3');

it('a decoder gives samples until it is closed, and may be closed twice', async () => {
  const decoder = new Decoder('mp3');
  const { pieces, failed } = await decoder.decode([bytes]);
  expect(failed).toBe(false);
  expect(pieces[0]?.map((channel) => channel.length)).toEqual([13 * 1152, 13 * 1152]);
  await decoder.close();
  await decoder.close();
  expect(await decoder.decode([bytes])).toEqual({ pieces: [], failed: true });
});

it('a decoder that doesn’t come to an end is ended', async () => {
  // Minutes of sound, and no patience at all.
  const decoder = new Decoder('mp3', 0);
  const long = Buffer.concat(Array(3000).fill(bytes));
  expect(await decoder.decode([long])).toEqual({ pieces: [], failed: true });
  expect(await decoder.decode([bytes])).toEqual({ pieces: [], failed: true });
  await decoder.close();
});
