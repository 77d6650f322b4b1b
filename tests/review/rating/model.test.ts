import { describe, expect, test } from 'vitest';
import { unitsCost } from '../../../server/plan-words';
import { decidedWords, modelPart } from '../../../server/review/rating/model';
import type { ScaleFindings } from '../../../shared/findings';
import { aPlan } from '../../blinding/a-plan';
import { panel } from '../../protocols/rated';
import { shownOf } from '../a-result';

const scaleOf = (plan: ReturnType<typeof aPlan>, lines: string[]): ScaleFindings => {
  const scale = shownOf(plan, panel(lines)).results[0]?.ratings?.scales[0];
  if (!scale) throw new Error('no scale');
  return scale;
};
const names = ({ first, second }: { first: string; second: string }) => `${first} less ${second}`;

describe('two days', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'], sessions: 2, audiences: [['home', 6]] });
  const lines = [
    'a2 b0 | b1 a2',
    'b0 a1 | a2 b1',
    'a3 b1 | b-1 a2',
    'b1 a2 | a1 b0',
    'a0 b-2 | b-2 a1',
    'b-2 a1 | a0 b-1',
  ];
  const scale = scaleOf(plan, lines);

  test('the sentence says what prototypes are compared against, and what is taken into account', () => {
    expect(decidedWords([scale])).toBe(
      'Decided by a mixed model: prototypes are compared within each listener, with place in the sitting and how often a sample had been heard taken into account, against chance, listeners’ own tastes and days. p: how often chance alone gives a difference this large.',
    );
  });

  test('spreads in points, what the model lacks, and the pair over listeners’ own means', () => {
    const part = modelPart(scale, 'Liking', names);
    expect(part.spreads.map(({ label }) => label.split(':')[0])).toEqual(['Tastes', 'Days', 'What is left']);
    expect(part.spreads.every(({ value }) => /^\d(\.\d+)?$/.test(value))).toBe(true);
    expect(part.note).toContain('Not in the model: units: one unit of each.');
    // Differences of the two days' means: 1.5 1 2.5 1 2.5 2, mean 1.75.
    expect(part.means).toHaveLength(1);
    expect(part.means[0]).toMatchObject({ names: 'proto-a less proto-b', difference: '1.75' });
  });
});

describe('where there is no model, the reason stands beside the spreads', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'] });

  test.each([
    ['everybody the same', ['a2 b1', 'a1 b0', 'a3 b2'], 'tell the ratings exactly'],
    ['each a sample of their own', ['a2', 'b1', 'a3'], 'too few ratings for a model'],
    ['nobody', [], 'too few ratings for a model'],
  ])('%s', (_, lines, words) => {
    const scale = scaleOf(plan, lines);
    expect(decidedWords([scale])).toBe('The primary pair could not be tested.');
    const part = modelPart(scale, 'Liking', names);
    expect(part.spreads).toEqual([]);
    expect(part.note).toContain(words);
  });
});

test('a model that came to no answer: listeners’ own means decide, and the sentence says so', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'] });
  const scale = scaleOf(plan, ['a2 b1', 'a1 b1', 'a3 b0']);
  const without = { ...scale, model: { ...scale.model, reason: 'not-converged' as const } };
  expect(decidedWords([without])).toMatch(
    /^Decided by the paired t test over listeners’ own means, since the model came to no answer\. p: /,
  );
});

test('what units cost is said of a plan that has two of a prototype', () => {
  const of = (units: number) => unitsCost(aPlan({ method: 'first-impressions', scales: ['liking'], units }));
  expect(of(1)).toBe('');
  expect(of(2)).toContain('costs power');
});
