import { expect, test } from 'vitest';
import { HmacDrbg } from '../../server/blinding/hmac-drbg';
import { hmacDrbg } from '../references/crypto.json';

const hex = (text: string) => Buffer.from(text, 'hex');

test.each(hmacDrbg.cases)('NIST CAVP vector, entropy $entropyInput', ({ entropyInput, nonce, returnedBits }) => {
  const generator = new HmacDrbg(hex(entropyInput), hex(nonce));
  generator.generate(128);
  expect(generator.generate(128).toString('hex')).toBe(returnedBits);
});

test('a request is one request: two of 64 bytes are not one of 128, since the state moves on', () => {
  const make = () => new HmacDrbg(Buffer.alloc(32, 7), Buffer.from('nonce'));
  const [one, two] = [make(), make()];
  const whole = one.generate(128);
  const halves = Buffer.concat([two.generate(64), two.generate(64)]);
  expect(halves.subarray(0, 64)).toEqual(whole.subarray(0, 64));
  expect(halves.subarray(64)).not.toEqual(whole.subarray(64));
});

test('taken a little at a time, a request gives the same bytes and leaves the same state', () => {
  const make = () => new HmacDrbg(Buffer.alloc(32, 7), Buffer.from('nonce'));
  const [one, two] = [make(), make()];
  for (const length of [0, 1, 32, 33, 256]) {
    const parts = [...two.request(length)];
    expect(parts.every((part) => part.length <= 32)).toBe(true);
    expect(Buffer.concat(parts)).toEqual(one.generate(length));
  }
});

test.each([1, 31, 32, 33, 65_536])('%d bytes are that many', (length) => {
  expect(new HmacDrbg(Buffer.alloc(32), Buffer.alloc(16)).generate(length)).toHaveLength(length);
});

test.each([-1, 1.5, 65_537, Number.NaN])('%d bytes are refused', (length) => {
  expect(() => new HmacDrbg(Buffer.alloc(32), Buffer.alloc(16)).generate(length)).toThrow(/length must be a whole/);
});

test('the personalisation changes everything', () => {
  const bytes = (text: string) => new HmacDrbg(Buffer.alloc(32), Buffer.alloc(16), Buffer.from(text)).generate(32);
  expect(bytes('["a",1]')).not.toEqual(bytes('["a",2]'));
});
