import { expect, test } from 'vitest';
import { findingsOf } from '../../server/review/findings';
import { leftOutPart } from '../../server/review/left-out-part';
import { plain } from './a-result';
import { gradedPlan } from './graded-plan';
import { randomStudy } from './random-study';

const names = ['Master', 'Alder', 'Birch'];
const partOf = (plan: Parameters<typeof leftOutPart>[1]) =>
  plain(leftOutPart(findingsOf(randomStudy(plan, { seed: 6, excluded: 0.2 }).record, { resamples: 100 }), plan));

test('the verdict both ways is in the measure of the method', () => {
  const words = partOf(gradedPlan('check-all', { names, primary: [1, 2], audiences: [['home', 8]] }));
  expect(words?.measure).toBe(
    'share of listeners who tick “harsh” for Alder, less that for Birch, in percentage points',
  );
  expect(words?.results.map(({ analysis }) => analysis)).toEqual(['As planned: the verdict', 'With nothing left out']);
  for (const { estimate } of words?.results ?? [])
    expect(estimate).toMatch(/^−?\d+(\.\d+)? \(95 %: −?\d+.* to −?\d+.*\)$/);

  const grades = partOf(
    gradedPlan('small-impairments', { names, primary: [1, 0], rounds: 2, audiences: [['home', 6]] }),
  );
  expect(grades?.measure).toBe('Alder less Master on the scale “Difference grade”, in grades');
});

test('what stands beside by sitting and excerpt is of those whom the rule of the plan keeps', () => {
  const plan = gradedPlan('small-impairments', {
    names,
    rounds: 2,
    sessions: 2,
    excerpts: 2,
    primary: [1, 2],
    audiences: [['home', 8]],
  });
  const truth = {
    residualSd: 0.4,
    random: 0.4,
    ratings: { impairment: { 'proto-a': 1.7, 'proto-b': 1, 'proto-c': 0.2 } },
  };
  const { results, habituation, exploratory } = findingsOf(randomStudy(plan, { seed: 4, truth }).record);
  const screening = results[0]?.ratings?.screening;
  expect(screening?.dropped.length).toBeGreaterThan(0);
  expect(screening?.kept).toBeLessThan(8);
  for (const { listeners } of habituation?.[0]?.sittings ?? []) expect(listeners).toBe(screening?.kept);
  // Each of those kept graded Alder twice in each of two sittings, half of that with each excerpt.
  for (const { means } of exploratory.excerpts ?? []) {
    expect(means?.find(({ prototype }) => prototype === 'proto-b')?.ratings).toBe(2 * (screening?.kept ?? 0));
  }
});
