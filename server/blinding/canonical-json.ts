/**
 * Canonical JSON (RFC 8785, 2020): no white space, keys sorted by UTF-16 code units, numbers and strings as
 * ECMAScript prints them. The same value always gives the same bytes, so it can be hashed and signed.
 * @throws RangeError for what JSON can't carry: NaN, infinities, undefined, functions.
 */
export function canonicalJson(value: unknown): string {
  if (value === null || typeof value === 'boolean') return JSON.stringify(value);
  if (typeof value === 'string') {
    if (/\p{Surrogate}/u.test(value)) throw new RangeError('A lone surrogate cannot be written as canonical JSON.');
    return JSON.stringify(value);
  }
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be written as JSON.`);
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  if (typeof value === 'object') {
    const members = Object.entries(value)
      .filter(([, member]) => member !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
      .map(([key, member]) => `${canonicalJson(key)}:${canonicalJson(member)}`);
    return `{${members.join(',')}}`;
  }
  throw new RangeError(`A ${typeof value} cannot be written as JSON.`);
}
