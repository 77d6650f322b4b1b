import { createCipheriv } from 'node:crypto';

/** Fills the bytes with the next random ones. */
export type RandomBytes = (bytes: Buffer) => void;

const zeros = Buffer.alloc(1 << 16);

/**
 * Random bytes from a key: the keystream of AES-256 in counter mode (NIST SP 800-38A), from counter 0. A key serves one
 * stream only: two renders by one key would get the same dither and could be told to be twins.
 *
 * @param key 32 bytes
 */
export function keystream(key: Buffer): RandomBytes {
  if (key.length !== 32) throw new RangeError(`The key of a keystream has 32 bytes, not ${key.length}.`);
  const cipher = createCipheriv('aes-256-ctr', key, Buffer.alloc(16));
  return (bytes) => {
    for (let at = 0; at < bytes.length; at += zeros.length) {
      cipher.update(zeros.subarray(0, bytes.length - at)).copy(bytes, at);
    }
  };
}

/**
 * Triangular dither: each call gives the sum of two independent uniform numbers of 16 random bits each, in steps of the
 * last bit (LSB): within ±1, mean 0, variance 2 · 1/12 = 1/6. Added before rounding it makes the mean and the variance of
 * the whole error independent of the signal: 0 and 1/12 + 1/6 = 1/4 LSB² (Lipshitz, Wannamaker and Vanderkooy 1992,
 * “Quantization and dither: a theoretical survey”, J. Audio Eng. Soc. 40, 355–375).
 */
export function triangularDither(random: RandomBytes): () => number {
  const bytes = Buffer.alloc(1 << 16);
  const uniform = new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.length / 2);
  let at = uniform.length;
  return () => {
    if (at === uniform.length) {
      random(bytes);
      at = 0;
    }
    // Either has the mean 32767.5, so that the sum less 65535 has the mean 0.
    const sum = (uniform[at] as number) + (uniform[at + 1] as number);
    at += 2;
    return (sum - 65535) / 65536;
  };
}
