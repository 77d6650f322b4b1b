import { type RandomBytes, triangularDither } from './dither';
import type { Pcm } from './pcm';
import { wav24FrameBytes, wav24Header, wav24HeaderBytes } from './wav24';

export { keystream } from './dither';

/** Steps of the last bit from 0 to full scale. */
const fullScale = 2 ** 23;

/** The dither adds less than 1, rounding up to ½: what is no further out stays a number of 24 bits. */
const furthest = fullScale - 2;

/**
 * The file that one presentation plays: 24-bit WAV of two channels, mono in both, with the gain applied in double
 * precision and triangular dither that is independent for each sample and channel. Its length and header depend on rate
 * and frames only; its last bits on `random`, so that two renders of the same sound are no copies of each other.
 *
 * @param pcm one or two channels of one length, full scale ±1
 * @param gainDb in dB, usually ≤ 0
 * @param random random bytes of this render alone; see `keystream`
 * @throws RangeError if something would be clipped, isn't a number, or has other than one or two channels. Matching keeps
 *   true peaks below −1 dBTP, so that this is a fault of ours and never met by what came through it.
 */
export function renderWav(pcm: Pcm, gainDb: number, random: RandomBytes): Buffer {
  const [left, right = left] = pcm.channels;
  if (!left || !right || pcm.channels.length > 2) {
    throw new RangeError(`A render has one or two channels, not ${pcm.channels.length}.`);
  }
  if (left.length !== right.length) throw new RangeError('The channels of a render have one length.');
  if (!Number.isFinite(gainDb)) throw new RangeError(`The gain of a render is a number of dB, not ${gainDb}.`);
  const frames = left.length;
  const header = wav24Header(pcm.rate, frames);
  const file = Buffer.allocUnsafe(wav24HeaderBytes + frames * wav24FrameBytes);
  header.copy(file);
  const scale = fullScale * 10 ** (gainDb / 20);
  const dither = triangularDither(random);
  let at = wav24HeaderBytes;
  const put = (sample: number, frame: number) => {
    const exact = sample * scale;
    if (!(Math.abs(exact) <= furthest)) {
      const what = Number.isFinite(exact) ? 'reaches full scale' : 'is not a number';
      throw new RangeError(`Frame ${frame} ${what} after a gain of ${gainDb} dB. Nothing is clipped: lower the gain.`);
    }
    const whole = Math.floor(exact + dither() + 0.5);
    file[at] = whole & 0xff;
    file[at + 1] = (whole >> 8) & 0xff;
    file[at + 2] = (whole >> 16) & 0xff;
    at += 3;
  };
  for (let frame = 0; frame < frames; frame++) {
    put(left[frame] as number, frame);
    put(right[frame] as number, frame);
  }
  return file;
}
