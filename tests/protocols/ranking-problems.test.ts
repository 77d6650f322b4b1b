import { expect, test } from 'vitest';
import { rankingProblems } from '../../protocols/ranking-problems';
import { rankingOf, rankingSpec } from '../../protocols/ranking-spec';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const problems = (wish: PlanWish & { size: number; rankings?: number; predicted?: boolean }) => {
  const { size, rankings = 1, predicted = false, ...rest } = wish;
  const plan = aPlan({ method: 'ranking', ...rest, spec: { size, rankings, predicted } });
  return rankingProblems(rankingOf(plan), plan).map(({ path, message, allowed }) => ({ path, message, allowed }));
};

test('what balances and can be heard has none', () => {
  expect(problems({ prototypes: 3, size: 3 })).toEqual([]);
  expect(problems({ prototypes: 6, size: 6 })).toEqual([]);
  expect(problems({ prototypes: 6, size: 3, audiences: [['home', 10]] })).toEqual([]);
  expect(problems({ prototypes: 6, size: 3, audiences: [['home', 5]], sessions: 2 })).toEqual([]);
  expect(problems({ prototypes: 6, size: 3, rankings: 10, audiences: [['home', 3]] })).toEqual([]);
  expect(problems({ prototypes: 4, size: 4, predicted: true, risks: { sides: 'one-sided' } })).toEqual([]);
});

test('two prototypes are a pair', () => {
  const [only, ...others] = problems({ prototypes: 2, size: 3 });
  expect(others).toEqual([]);
  expect(only).toMatchObject({ path: 'prototypes', allowed: '3 or more' });
});

test('more in a ranking than there are, than can be kept apart, or than can be heard in time', () => {
  expect(problems({ prototypes: 4, size: 5 })).toEqual([
    {
      path: 'method.spec.size',
      message: 'Samples in a ranking: there are only 4 prototypes. Take 4, which ranks them all, or fewer.',
      allowed: '3 to 4',
    },
  ]);
  const [many] = problems({ prototypes: 8, size: 8 });
  expect(many?.path).toBe('method.spec.size');
  expect(many?.message).toContain('6 are common practice. Take incomplete blocks of 3, 4, 5 or 6');
  const slow = aPlan({ method: 'ranking', prototypes: 5, spec: { size: 5 } });
  const [late] = rankingProblems(rankingOf(slow), { ...slow, timing: { listen: 500, swap: 60, fit: 15, answer: 15 } });
  expect(late?.message).toContain('takes 48 minutes');
  expect(late?.message).toContain('Take incomplete blocks of 3');
  const [none] = rankingProblems(rankingOf(slow), { ...slow, timing: { listen: 600, swap: 60, fit: 15, answer: 15 } });
  expect(none?.message).toContain('Compare fewer prototypes');
});

test('blocks that listeners can’t fill say which numbers would', () => {
  const [one, ...others] = problems({
    prototypes: 6,
    size: 3,
    audiences: [
      ['home', 10],
      ['stage', 12],
    ],
  });
  expect(others).toEqual([]);
  expect(one).toEqual({
    path: 'audiences.1.listeners',
    message:
      'Stage: 6 prototypes in blocks of 3 are balanced after every 10 rankings, and 12 × 1 are 12. Take 10 or 20 listeners, or 5 rankings for each in a sitting. With 12 listeners, blocks of 5 would do.',
    allowed: 'a multiple of 10',
  });
  // Four rankings each: any five listeners fill two designs.
  expect(
    problems({ prototypes: 6, size: 3, rankings: 2, sessions: 2, audiences: [['home', 4]] })[0]?.message,
  ).toContain('Take 5 listeners, or 5 rankings for each in a sitting.');
  expect(problems({ prototypes: 6, size: 3, rankings: 5, sessions: 2, audiences: [['home', 4]] })).toEqual([]);
});

test('an order that is predicted is looked for one way, and the primary pair stands in it', () => {
  expect(problems({ prototypes: 3, size: 3, predicted: true })[0]).toMatchObject({
    path: 'risks.sides',
    allowed: 'one-sided',
  });
  expect(problems({ prototypes: 3, size: 3, risks: { sides: 'one-sided' } })[0]).toMatchObject({
    path: 'risks.sides',
    allowed: 'two-sided',
  });
  const turned = problems({ prototypes: 3, size: 3, predicted: true, risks: { sides: 'one-sided' }, primary: [2, 0] });
  expect(turned.map(({ path }) => path)).toEqual(['primary.first']);
});

test('settings: what may be set, and what is usual', () => {
  expect(rankingSpec.parse({})).toEqual({ size: 3, rankings: 1, predicted: false });
  for (const odd of [
    { size: 2 },
    { size: 9 },
    { size: 3.5 },
    { rankings: 0 },
    { rankings: 21 },
    { predicted: 1 },
    { sise: 3 },
  ]) {
    expect(rankingSpec.safeParse(odd).success, JSON.stringify(odd)).toBe(false);
  }
});
