import { expect, test } from 'vitest';
import { sha256 } from '../../server/blinding/hash';
import { sha256 as vectors } from '../references/crypto.json';

test.each(vectors.cases)('FIPS 180-4: “$message”', ({ message, digest }) => {
  expect(sha256(message)).toBe(digest);
  expect(sha256(Buffer.from(message))).toBe(digest);
});

test('parts are hashed one after the other', () => {
  expect(sha256('a', Buffer.from('b'), 'c')).toBe(vectors.cases[0]?.digest);
});
