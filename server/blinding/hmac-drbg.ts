import { createHmac } from 'node:crypto';

/** NIST SP 800-90A rev. 1 (2015), Table 2: at most 2^16 bytes a request. */
const longestRequest = 65_536;

/**
 * HMAC-DRBG with SHA-256 (NIST SP 800-90A rev. 1, 2015, 10.1.2), without reseeding: the same entropy, nonce and
 * personalisation always give the same bytes, which is what makes a draw replicable.
 */
export class HmacDrbg {
  private key: Buffer = Buffer.alloc(32, 0);
  private value: Buffer = Buffer.alloc(32, 1);

  constructor(entropy: Buffer, nonce: Buffer, personalisation: Buffer = Buffer.alloc(0)) {
    this.update(Buffer.concat([entropy, nonce, personalisation]));
  }

  /** The next `length` bytes. @throws RangeError beyond what one request may ask for. */
  generate(length: number): Buffer {
    return Buffer.concat([...this.request(length)]);
  }

  /**
   * The same bytes as of `generate`, up to 32 at a time and made when they are taken: most draws need only the first
   * few. Taken to its end before anything else is asked of the generator.
   */
  *request(length: number): Generator<Buffer, void> {
    if (!Number.isInteger(length) || length < 0 || length > longestRequest) {
      throw new RangeError(
        `HmacDrbg.generate: length must be a whole number from 0 to ${longestRequest}, got ${length}.`,
      );
    }
    for (let have = 0; have < length; have += 32) {
      this.value = this.hmac(this.value);
      yield this.value.subarray(0, length - have);
    }
    this.update(null);
  }

  private update(data: Buffer | null): void {
    for (const round of data === null ? [0] : [0, 1]) {
      this.key = this.hmac(this.value, Buffer.from([round]), data ?? Buffer.alloc(0));
      this.value = this.hmac(this.value);
    }
  }

  private hmac(...parts: Buffer[]): Buffer {
    const mac = createHmac('sha256', this.key);
    for (const part of parts) mac.update(part);
    return mac.digest();
  }
}
