import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { audiencesChart } from '../../server/review/audiences-chart';
import type { Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { findingsOfRandom } from './a-result';
import { gradedPlan } from './graded-plan';
import { refused, wellFormed } from './well-formed';

/** Audiences beside each other, in the measure of each family. */

const audiences: [string, number][] = [
  ['home', 4],
  ['stage', 4],
];
const results = (plan: Plan): Result[] => findingsOfRandom(plan, { seed: 3 }).results;
const textsOf = (svg: string): string[] => {
  const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
  return [...document.querySelectorAll('.chart-wide text')].map((one) => one.textContent ?? '');
};

describe.each<[string, Plan, string[], number]>([
  ['a share of choices', aPlan({ repeats: 3, audiences }), ['one half', '0%', '100%'], 2],
  ['a share of trials truly heard', aPlan({ method: 'abx', trials: 6, audiences }), ['guessing', '100%'], 1],
  ['d′', aPlan({ method: 'a-not-a', trials: 8, audiences }), ['guessing', 'Distance of the two to the ear, d′'], 1],
  ['points', aPlan({ method: 'first-impressions', sessions: 2, audiences }), ['alike'], 2],
  [
    'shares of ticks',
    { ...gradedPlan('check-all', {}), audiences: audiences.map(([id, listeners]) => ({ id, name: id, listeners })) },
    ['alike'],
    2,
  ],
])('%s', (_name, plan, words, bounds) => {
  const found = results(plan);
  const drawn = audiencesChart(found, 0.2, plan);

  test('has a row for each audience, where nothing lies, and where it begins to be worth finding', () => {
    const texts = textsOf(drawn?.svg ?? '');
    for (const { audienceName, estimate } of found) if (estimate) expect(texts).toContain(audienceName);
    for (const one of words) expect(texts).toContain(one);
    expect(texts.filter((text) => text.includes('worth finding'))).toHaveLength(bounds);
    expect(drawn?.caption).toMatch(/95\s% intervals.*interaction p\s0\.200\.$/);
  });

  test('is well-formed, and has nothing that a strict policy refuses', () => {
    expect(wellFormed(drawn?.svg ?? '')).toContain('svg');
    expect(refused(drawn?.svg ?? '')).toEqual([]);
  });
});

test('nothing to draw where nobody has an estimate; and it says where audiences could not be compared', () => {
  const plan = aPlan({ audiences });
  const found = results(plan);
  const without = found.map((one) => ({ ...one, estimate: null }));
  expect(audiencesChart(without, 0.2, plan)).toBeNull();
  expect(audiencesChart(found, null, plan)?.caption).toMatch(/could not be tested\.$/);
});
