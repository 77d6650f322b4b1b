import type { Random, Randomness } from '../../protocols/random';
import { canonicalJson } from './canonical-json';
import { HmacDrbg } from './hmac-drbg';

/** Bytes of one request to the generator. */
const requestLength = 256;
const nonce = Buffer.from('fair-hearing/draw/1');

/** Uniform numbers from a stream of random bytes. */
class DrbgRandom implements Random {
  private bytes = Buffer.alloc(0);
  private request: Generator<Buffer, void>;

  constructor(private readonly source: HmacDrbg) {
    this.request = source.request(requestLength);
  }

  below(n: number): number {
    if (!Number.isInteger(n) || n < 1 || n > 2 ** 32) {
      throw new RangeError(`below: n must be a whole number from 1 to 2^32, got ${n}.`);
    }
    // Draws that would favour the small numbers are thrown away.
    const limit = Math.floor(2 ** 32 / n) * n;
    for (;;) {
      const word = this.take(4).readUInt32BE();
      if (word < limit) return word % n;
    }
  }

  uniform(): number {
    const word = this.take(8);
    return (word.readUInt32BE(0) * 2 ** 21 + (word.readUInt32BE(4) >>> 11)) / 2 ** 53;
  }

  private take(length: number): Buffer {
    while (this.bytes.length < length) this.more();
    const taken = this.bytes.subarray(0, length);
    this.bytes = this.bytes.subarray(length);
    return taken;
  }

  private more(): void {
    const { done, value } = this.request.next();
    if (done) this.request = this.source.request(requestLength);
    else this.bytes = Buffer.concat([this.bytes, value]);
  }
}

/**
 * Randomness by address. Each path opens a generator of its own: entropy is the seed, the personalisation string is
 * the canonical JSON of the path, so that nothing drawn at one address says anything of another.
 */
export function randomnessOf(seed: Buffer, ...base: (string | number)[]): Randomness {
  return {
    at: (...path) => new DrbgRandom(new HmacDrbg(seed, nonce, Buffer.from(canonicalJson([...base, ...path])))),
  };
}
