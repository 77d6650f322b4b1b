import { expect, test } from 'vitest';
import { nearestName, nearestOf } from '../../stats/nearest-name';

test.each([
  ['srve', 'serve'],
  ['SERVE', 'serve'],
  ['statt', 'stat'],
  ['tsat', 'stat'],
  ['analyze', 'analyse'],
  ['', 'stat'],
])('%s is nearest to %s', (typed, name) => {
  expect(nearestOf(typed, ['serve', 'stat', 'analyse', 'demo', 'restore'])?.name).toBe(name);
});

test('two neighbours swapped are one slip: nearer than a name two letters away', () => {
  expect(nearestOf('prot', ['post', 'port'])).toEqual({ name: 'port', slips: 1 });
});

test('there is no nearest of nothing', () => {
  expect(nearestOf('x', [])).toBeNull();
});

test.each([
  ['chanse', ['correct', 'trials', 'chance'], 'chance'],
  ['trails', ['correct', 'trials', 'chance'], 'trials'],
  ['ALPHA', ['alpha', 'beta'], 'alpha'],
  ['bonferoni', ['holm', 'bonferroni'], 'bonferroni'],
  ['zzzzzz', ['holm', 'bonferroni'], null],
])('a name is offered for %s only where one is near', (name, names, expected) => {
  expect(nearestName(name, names)).toBe(expected);
});
