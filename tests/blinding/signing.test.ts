import { expect, test } from 'vitest';
import { publicKeyOf, sign, signedMessage, verify } from '../../server/blinding/signing';
import { ed25519 } from '../references/crypto.json';

const bytes = (hex: string) => Buffer.from(hex, 'hex');

test.each(ed25519.cases)('RFC 8032, 7.1: the key $public signs "$message"', (one) => {
  expect(publicKeyOf(bytes(one.secret))).toBe(one.public);
  expect(sign(bytes(one.secret), bytes(one.message))).toBe(one.signature);
  expect(verify(one.public, bytes(one.message), one.signature)).toBe(true);
});

test.each(ed25519.cases)('no other message, key or signature holds: $public', (one) => {
  const message = bytes(one.message);
  expect(verify(one.public, Buffer.concat([message, Buffer.from([0])]), one.signature)).toBe(false);
  for (const other of ed25519.cases.filter((case_) => case_ !== one)) {
    expect(verify(other.public, message, one.signature)).toBe(false);
    expect(verify(one.public, message, other.signature)).toBe(false);
  }
  // Every bit of a signature counts.
  for (let bit = 0; bit < 512; bit++) {
    const turned = bytes(one.signature);
    turned[bit >> 3] = (turned[bit >> 3] as number) ^ (1 << (bit & 7));
    expect(verify(one.public, message, turned.toString('hex'))).toBe(false);
  }
});

test.each([
  ['a key', 'short', ''],
  ['a key', 'in capitals', ed25519.cases[0]?.public.toUpperCase() ?? ''],
  ['a key', 'that is no point of the curve', 'f'.repeat(64)],
])('what is no key or no signature is no error: %s %s', (_what, _how, key) => {
  expect(verify(key, Buffer.alloc(0), ed25519.cases[0]?.signature ?? '')).toBe(false);
});

test.each(['', 'ab', 'z'.repeat(128), `${ed25519.cases[0]?.signature}00`])('nor is the signature "%s"', (signature) => {
  expect(verify(ed25519.cases[0]?.public ?? '', Buffer.alloc(0), signature)).toBe(false);
});

test('what is signed names the kind of thing, the entry and its hash, so that no signature stands for another', () => {
  const hash = 'a'.repeat(64);
  expect(signedMessage({ seq: 12, hash }).toString()).toBe(`fair-hearing/signature/1\n12\n${hash}`);
  expect(signedMessage({ seq: 1, hash })).not.toEqual(signedMessage({ seq: 11, hash }));
});
