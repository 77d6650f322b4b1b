import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import { rightsEvidence } from '../../protocols/right-answers';
import { triangle } from '../../protocols/triangle';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { matched } from './simulated-study';

const home = 'home' as AudienceId;
const planOf = (looks: Plan['looks'], audiences: [string, number][] = [['home', 8]]): Plan =>
  aPlan({ method: 'triangle', looks, audiences, units: 2, risks: { smallest: { kind: 'heard', value: 0.4 } } });
const sequential = planOf({ kind: 'sequential', bounds: 'strict' });
const resultOf = (outcomes: Outcome[], plan: Plan) => {
  const [result] = triangle.analyse(outcomes, plan).results;
  if (!result) throw new Error('no result');
  return result;
};

test('what looks count: right and wrong in the order in which they came, between guessing and the smallest effect', () => {
  const outcomes = [...matched('Zoe', '+-'), ...matched('Sam', '+++', 'stage'), ...matched('Ann', '-+')];
  expect(rightsEvidence(outcomes, sequential, home, 1 / 3)).toEqual({
    answers: [1, 0, 0, 1],
    p0: 1 / 3,
    p1: expect.closeTo(0.6, 12),
    alternative: 'greater',
  });
});

describe('Wald’s test with the strict bound, triangle at pd 40 %, α 5 %, β 20 %', () => {
  // A right answer multiplies the ratio by (0.6)/(1/3) = 1.8, a wrong one by 0.4/(2/3) = 0.6; the bounds are 1/α = 20 and β/1.
  test('shown at the sixth right answer in a row: 1.8⁵ = 18.9, 1.8⁶ = 34; the fifth is undecided', () => {
    const six = resultOf(matched('Ann', '++++++'), sequential);
    expect(six).toMatchObject({ verdict: 'difference-shown', looks: { state: 'shown', decidedAt: 6, after: 0 } });
    expect(six.p).toBeCloseTo(1.8 ** -6, 10);
    expect(six.estimate).toMatchObject({ name: 'heard', value: 1 });
    expect(resultOf(matched('Ann', '+++++'), sequential).verdict).not.toBe('difference-shown');
  });

  test('what comes after the decision is kept and counts for nothing', () => {
    const decided = resultOf(matched('Ann', '++++++'), sequential);
    const later = resultOf([...matched('Ann', '++++++'), ...matched('Ben', '------')], sequential);
    expect(later).toMatchObject({ verdict: 'difference-shown', p: decided.p, looks: { decidedAt: 6, after: 6 } });
    expect(later.estimate).toEqual(decided.estimate);
    // All answers stand there, too.
    expect(later.difference).toMatchObject({ correct: 6, trials: 12 });
  });

  test('ended at the lower bound: undecided, and more of the same is not asked for', () => {
    const ended = resultOf(matched('Ann', '-------'), sequential);
    expect(ended).toMatchObject({ verdict: 'undecided', looks: { state: 'none-shown' }, wouldSettle: null });
    expect(ended.alsoPossible).not.toBeNull();
  });

  test('too few to have met the bound: not enough data', () => {
    expect(resultOf(matched('Ann', '++++'), sequential).verdict).toBe('not-enough-data');
    expect(resultOf([], sequential)).toMatchObject({ verdict: 'not-enough-data', p: null });
  });
});

test('two audiences each look at half of α, in any order of verdicts', () => {
  const plan = planOf({ kind: 'sequential', bounds: 'strict' }, [
    ['home', 8],
    ['stage', 8],
  ]);
  const at = (line: string) => resultOf(matched('Ann', line), plan).looks?.decidedAt ?? null;
  // 1/(α/2) = 40: 1.8⁶ = 34 is short, 1.8⁷ = 61 is not.
  expect([at('++++++'), at('+++++++')]).toEqual([null, 7]);
});

test('a decision is never changed by later answers, and simulated panels get the same word', () => {
  const kinds: Plan['looks'][] = [
    { kind: 'sequential', bounds: 'strict' },
    { kind: 'sequential', bounds: 'wald' },
    { kind: 'always-valid' },
  ];
  const line = fc.stringMatching(/^[+-]{1,40}$/);
  fc.assert(
    fc.property(line, fc.stringMatching(/^[+-]{1,20}$/), fc.constantFrom(...kinds), (first, more, looks) => {
      const plan = planOf(looks);
      const before = resultOf(matched('Ann', first), plan);
      const after = resultOf(matched('Ann', first + more), plan);
      if (before.looks?.decidedAt != null) {
        expect([after.verdict, after.p, after.looks?.decidedAt]).toEqual([
          before.verdict,
          before.p,
          before.looks.decidedAt,
        ]);
      }
      const [bare] = triangle.analyse(matched('Ann', first), plan, { verdictOnly: true }).results;
      expect([bare?.verdict, bare?.p]).toEqual([before.verdict, before.p]);
    }),
    { numRuns: 40 },
  );
});
