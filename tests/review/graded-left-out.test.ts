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
