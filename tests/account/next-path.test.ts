import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextPath } from '../../server/account/next-path';

describe('nextPath', () => {
  it.each(['/', '/account', '/studies/01J/run?x=1&y=%2F#seat-3', '/a b'])('keeps the own path %s', (path) => {
    expect(nextPath(path)).toBe(new URL(path, 'http://own.invalid').href.slice('http://own.invalid'.length));
  });

  it.each([
    undefined,
    '',
    ['/a'],
    'account',
    'https://evil.example/',
    '//evil.example',
    '///evil.example',
    '/\\evil.example',
    '\\\\evil.example',
    '/\t/evil.example',
    '/\n/evil.example',
    '/.//evil.example',
    '/a/..//evil.example',
    '/%2e//evil.example',
    ' //evil.example',
    'javascript:alert(1)',
    'http:evil.example',
    `/${'a'.repeat(600)}`,
    '/account/sign-in',
    '/account/reset/x',
  ])('goes home instead of %j', (value) => {
    expect(nextPath(value)).toBe('/');
  });

  it('never leaves the server, whatever comes', () => {
    const sign = fc.constantFrom('/', '\\', '.', ':', '@', '?', '#', '%2f', '%5c', '\t', 'evil.example', 'a', ' ');
    fc.assert(
      fc.property(fc.array(sign, { maxLength: 12 }), (signs) => {
        const next = nextPath(`/${signs.join('')}`);
        expect(new URL(next, 'https://panel.example/account/sign-in').origin).toBe('https://panel.example');
        expect(next).toMatch(/^\/(?!\/)/);
      }),
      { numRuns: 2000 },
    );
  });
});
