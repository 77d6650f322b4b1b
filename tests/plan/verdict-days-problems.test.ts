import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../server/plan/check';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const audiences: PlanWish['audiences'] = [['home', 12]];
const problemsOf = (days: Plan['verdictDays'], wish: PlanWish = {}) =>
  checkPlan({ ...aPlan({ sessions: 3, audiences, ...wish }), verdictDays: days }).problems;

describe('sittings that the verdict counts', () => {
  test('any of those that are planned, one or all', () => {
    for (const days of [
      { from: 1, to: 1 },
      { from: 2, to: 3 },
      { from: 1, to: 3 },
    ]) {
      expect(problemsOf(days)).toEqual([]);
    }
  });

  test.each([
    ['the later one first', { from: 3, to: 2 }, {}, 'verdictDays.from', /from sitting 3 to sitting 2/],
    ['one that nobody sits in', { from: 2, to: 4 }, {}, 'verdictDays.to', /up to 4, and 3 sessions are planned/],
    ['more than one session has', { from: 1, to: 2 }, { sessions: 1 }, 'verdictDays.to', /and one session is planned/],
    [
      'looks before the end',
      { from: 1, to: 1 },
      { method: 'abx' as const, looks: { kind: 'always-valid' as const } },
      'verdictDays',
      /counts answers as they come/,
    ],
  ] satisfies [string, Plan['verdictDays'], PlanWish, string, RegExp][])('%s', (_what, days, wish, path, message) => {
    const [problem, ...more] = problemsOf(days, wish);
    expect(more).toEqual([]);
    expect(problem?.path).toBe(path);
    expect(problem?.message).toMatch(message);
  });
});
