import { expect, test } from 'vitest';
import { nearest } from '../../server/cli/nearest';

test.each([
  ['srve', 'serve'],
  ['SERVE', 'serve'],
  ['statt', 'stat'],
  ['tsat', 'stat'],
  ['analyze', 'analyse'],
  ['', 'stat'],
])('%s is nearest to %s', (typed, name) => {
  expect(nearest(typed, ['serve', 'stat', 'analyse', 'demo', 'restore'])).toBe(name);
});

test('two neighbours swapped are one slip: nearer than a name two letters away', () => {
  expect(nearest('prot', ['post', 'port'])).toBe('port');
});

test('there is no nearest of nothing', () => {
  expect(nearest('x', [])).toBeUndefined();
});
