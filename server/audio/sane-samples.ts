import { SoundError } from './sound-error';
import { checkFrames, type SoundLimits, silencePeak } from './sound-limits';

/** +40 dBFS. Whole numbers that were written as floating point without being scaled are far above. */
const mostSample = 100;

/** Lets samples through that are numbers, as many as were promised, and at the end not all silent. */
export async function* saneSamples(
  blocks: AsyncIterable<Float32Array[]>,
  shape: { rate: number; frames: number | null },
  limits: SoundLimits,
): AsyncGenerator<Float32Array[]> {
  const { rate, frames } = shape;
  let count = 0;
  let peak = 0;
  for await (const block of blocks) {
    for (const [channel, piece] of block.entries()) {
      for (let i = 0; i < piece.length; i += 1) {
        const size = Math.abs(piece[i] as number);
        if (size > peak) peak = size;
        if (!(size <= mostSample)) throw notNumbers(size, (count + i) / rate, channel);
      }
    }
    count += block[0]?.length ?? 0;
    if (count > limits.seconds * rate) checkFrames(count, rate, limits);
    if (block[0]?.length) yield block;
  }
  if (frames !== null && count !== frames) {
    throw new SoundError(
      'truncated',
      `This file says that it has ${frames} samples a channel, and there are ${count}. It was probably broken off. Export it again.`,
    );
  }
  checkFrames(count, rate, limits);
  if (peak < silencePeak && limits.silence === 'refused') {
    throw new SoundError(
      'silent',
      'This file is silent all through: nothing in it is above −80 dBFS. Listen to it, and export it again.',
    );
  }
}

function notNumbers(size: number, seconds: number, channel: number): SoundError {
  const where = `at ${seconds.toFixed(3)} s in channel ${channel + 1}`;
  if (Number.isFinite(size)) {
    return new SoundError(
      'not-numbers',
      `This file has a sample of ${size.toPrecision(3)} times full scale, ${where}. Export it with samples between −1 and 1, or as whole numbers.`,
    );
  }
  return new SoundError(
    'not-numbers',
    `This file has a sample that is no number (NaN or infinite), ${where}. Find the effect that makes it, and export it again.`,
  );
}
