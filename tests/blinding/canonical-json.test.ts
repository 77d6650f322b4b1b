import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson } from '../../server/blinding/canonical-json';
import { jcs, jcsNumbers } from '../references/crypto.json';

test('RFC 8785: the whole example', () => {
  const [example] = jcs.cases;
  expect(canonicalJson(JSON.parse(example?.input ?? ''))).toBe(example?.canonical);
});

test('RFC 8785: keys in the order of their UTF-16 code units', () => {
  const example = jcs.cases[1];
  const written = JSON.parse(canonicalJson(JSON.parse(example?.input ?? ''))) as Record<string, string>;
  // A number-like key comes first in any object of ECMAScript, so the order is read off the text.
  const text = canonicalJson(JSON.parse(example?.input ?? ''));
  const places = example?.valuesInOrder?.map((value) => text.indexOf(JSON.stringify(value))) ?? [];
  expect(Object.values(written)).toHaveLength(7);
  expect(places.every((place) => place > 0)).toBe(true);
  expect(places).toEqual([...places].sort((a, b) => a - b));
});

test.each(jcsNumbers.cases as [string, string][])('RFC 8785: the number %s is written %s', (bits, written) => {
  expect(canonicalJson(Buffer.from(bits, 'hex').readDoubleBE())).toBe(written);
});

test('what JSON can’t carry is refused', () => {
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY, undefined, () => 1, 1n, Symbol('x'), [undefined]]) {
    expect(() => canonicalJson(value)).toThrow(RangeError);
  }
  expect(() => canonicalJson({ a: '\ud800' })).toThrow(/surrogate/);
  expect(() => canonicalJson({ '\udc00': 1 })).toThrow(/surrogate/);
});

test('a member without a value is left out, as in JSON', () => {
  expect(canonicalJson({ b: undefined, a: 1 })).toBe('{"a":1}');
});

test('property: it says the same as JSON, whatever the order of keys', () => {
  fc.assert(
    fc.property(fc.jsonValue({ noUnicodeString: false }), (value) => {
      fc.pre(!/\p{Surrogate}/u.test(JSON.stringify(value)) && !JSON.stringify(value).includes('\\ud'));
      const text = canonicalJson(value);
      expect(canonicalJson(JSON.parse(text))).toBe(text);
      expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      expect(canonicalJson(backwards(value))).toBe(text);
    }),
    { seed: 1, numRuns: 200 },
  );
});

function backwards(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(backwards);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, member]) => [key, backwards(member)]),
  );
}
