import { expect, test } from 'vitest';
import { betweenAudiences, betweenWords } from '../../server/review/between';
import type { Findings } from '../../shared/findings';
import { aPlan } from '../blinding/a-plan';

const two = aPlan({
  method: 'abx',
  audiences: [
    ['home', 4],
    ['stage', 4],
  ],
});
const said = (interaction: Findings['interaction']) => betweenWords({ interaction }, two)?.replaceAll('\u00a0', ' ');

test('nothing with one audience', () => {
  expect(betweenAudiences({ interaction: null, results: [] }, aPlan({ method: 'abx' }))).toBeNull();
});

test.each([
  [
    { statistic: 1, p: 0.02, permutations: 70, of: 'correct' as const },
    /^The audiences answer differently \(.*share of right answers.* 70 ways, p 0\.020\)\./,
  ],
  [
    { statistic: 1, p: 0.4, permutations: 10_000, of: 'points' as const },
    /^It isn’t shown that the audiences answer differently \(.*10,000 ways, p 0\.400\); that doesn’t make them alike\./,
  ],
  [null, /^Whether audiences answer alike can’t be told/],
])('whatever the test says, nothing is pooled: %o', (interaction, words) => {
  expect(said(interaction)).toMatch(words);
  expect(said(interaction)).toMatch(/Nothing is pooled\.$/);
});
