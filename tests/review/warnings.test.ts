import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { warningsOf } from '../../server/review/warnings';
import { root } from '../../server/root';
import type { Result } from '../../shared/findings';
import { plain } from './a-result';
import { gradedPlan } from './graded-plan';

const plan = gradedPlan('just-about-right', { names: ['Alder', 'Birch', 'Cedar'] });
const said = (...warnings: string[]) => plain(warningsOf({ warnings } as Result, plan));

/** Every key that some method or control may warn with, as the sources spell them. */
function keysIn(folder: string): string[] {
  return readdirSync(join(root, folder))
    .filter((name) => name.endsWith('.ts'))
    .flatMap((name) => {
      const source = readFileSync(join(root, folder, name), 'utf8');
      if (!/warnings/i.test(source)) return [];
      // `key:${…}` with its numbers, or a key by itself in a list of warnings.
      const numbered = source.matchAll(/`([a-z]+(?:-[a-z]+)+):\$\{/g);
      const plainKeys = source.matchAll(/[Ww]arnings(?:\.push\(|, |: \[[^'\]]*)'([a-z-]+)'/g);
      return [...numbered, ...plainKeys].map(([, key]) => key ?? '');
    });
}
const keys = [...new Set([...keysIn('protocols'), ...keysIn('server/review/controls')])].sort();

test('the sources are read as they are: these keys are among them', () => {
  expect(keys).toEqual(
    expect.arrayContaining([
      'fewer-listeners',
      'screened-out',
      'order-effect',
      'two-peaks',
      'screened-by-difference',
      'units-together',
      'units-told-apart',
    ]),
  );
});

test('every key has words, or is said elsewhere on the letter', () => {
  for (const key of keys) {
    for (const words of said(`${key}:2:3`)) expect(words, key).toMatch(/^[A-Z0-9].* .*\.$/);
  }
});

test('a key that nobody has words for shows as it is, and is caught by that', () => {
  expect(said('nobody-knows:1')).toEqual(['nobody-knows 1']);
});

test('two groups are warned of at the top where the verdict is about that scale', () => {
  expect(said('two-peaks:proto-b:liking')).toEqual([
    'Ratings of Birch gather in two places rather than one, so that its mean stands for neither: see “How listeners are spread”.',
  ]);
  expect(said('two-peaks:proto-b:bass')).toEqual([]);
});
