import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import type { AudienceVerdict } from '../../../server/review/view-models';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { matched } from '../../protocols/simulated-study';
import { letterOf } from '../a-result';

const risks = { beta: 0.05, smallest: { kind: 'heard', value: 0.3 } } as const;
const planOf = (trials: number, listeners: number): Plan =>
  aPlan({ method: 'triangle', aim: 'similarity', units: 2, trials, risks, audiences: [['home', listeners]] });
const page = (plan: Plan, outcomes: Outcome[]) => letterOf(plan, outcomes)[0] as AudienceVerdict;
const figure = (of: AudienceVerdict, label: string) => of.figures.find((one) => one.label === label)?.value;
/** So many listeners, each with one answer, of whom so many are right. */
const once = (right: number, listeners: number) =>
  Array.from({ length: listeners }, (_, i) => matched(`Home ${i + 1}`, i < right ? '+' : '-')).flat();

describe('each listener once, 72 in a triangle, limit 30 %, β 0.05', () => {
  const plan = planOf(1, 72);

  test('30 right show similarity: the sentence has what was right, what guessing gives, the limit and the risk', () => {
    // ISO 4120:2021, tables for similarity: 72 assessors, 30 % discriminators, β 0.05: 30 right at most (from memory).
    const found = page(plan, once(30, 72));
    expect(found.verdictWords).toBe('Similar for the purpose');
    expect(found.sentence).toMatch(
      /^Home: Prototype A and Prototype B are similar for the purpose: at β = 0\.05, the difference is truly heard in less than 30 % of trials\. 30 of 72 answers were right, where guessing alone gives 24 on average: it is truly heard in at most 2\d(\.\d+)? % \(one-sided 95 % limit\)\.$/,
    );
    expect([figure(found, 'Shown with at most'), figure(found, 'Similar below')]).toEqual([
      '30 right',
      '30 % of trials',
    ]);
    expect(found.alsoPossible).toBeNull();
    expect(found.warnings[0]).toBe(
      'Similar is what the plan calls it: heard in less than 30 % of trials. It doesn’t say that nobody hears it.',
    );
  });

  test('31 don’t: undecided, with the largest share still allowed, and never a difference', () => {
    const found = page(plan, once(31, 72));
    expect(found.verdict).toBe('undecided');
    expect(found.sentence).toMatch(
      /^Home: it is undecided whether Prototype A and Prototype B are similar for the purpose, which they are where .* is truly heard in less than 30 % of trials\. .*: the data still allow that it is truly heard in up to 3\d(\.\d+)? % \(one-sided 95 % limit\)\.$/,
    );
    expect(page(plan, once(60, 72)).verdict).toBe('undecided');
    // The sentence says what is still allowed; below it stands what would settle it.
    expect(found.alsoPossible).toMatch(
      /^Where nothing is heard, a new study with \d+ listeners in this audience would show similarity with a chance of 95 %\.$/,
    );
    expect(found.difference?.missesCaption).toBe('How often so many trials don’t show similarity');
  });

  test('the chart is held against the limit', () => {
    const { difference } = page(plan, once(30, 72));
    expect(difference?.chart?.svg).toContain('30 or fewer show it');
    // 72 · (1/3 + 2/3 · 0.3) = 38.4.
    expect(difference?.chart?.caption).toContain('which is the limit; that gives 38.4 on average');
    expect(difference?.counts.map(({ label }) => label)).toContain('Heard in 30 % of trials, on average');
  });
});

test('fewer right than guessing gives: a limit of 0 % is not said to be nobody', () => {
  const found = page(planOf(1, 72), once(12, 72));
  expect(found.sentence).toMatch(
    /: it is truly heard in at most 0 % \(one-sided 95 % limit\), which takes luck and doesn’t say that nobody hears it\.$/,
  );
});

test('several answers of each: the listener is the unit, and that single ones may hear more is said', () => {
  const found = page(planOf(6, 24), Array.from({ length: 24 }, (_, i) => matched(`Home ${i + 1}`, '++----')).flat());
  expect(found.verdict).toBe('similarity-shown');
  expect(found.sentence).toMatch(
    /: the average listener truly hears it in at most \d+(\.\d+)? % \(one-sided 95 % limit\)\.$/,
  );
  expect(found.warnings.join(' ')).toContain('it is about the average listener: single ones may hear more');
  expect(figure(found, 'At most, at β = 0.05, over listeners')).toMatch(/ % of trials$/);
  expect(found.difference?.decided).toContain('the one that differs most');
  expect(found.difference?.chart?.caption).toContain('if a listener hears it always or never');
});

test('too few to show it whatever they answer: why', () => {
  const found = page(planOf(1, 3), once(0, 3));
  expect(found.verdict).toBe('not-enough-data');
  expect(found.sentence).toBe(
    'There are not enough data from Home to say whether Prototype A and Prototype B are similar for the purpose: however few were right, 3 trials could not have shown it at β = 0.05.',
  );
  expect(page(planOf(1, 3), []).sentence).toMatch(/similar for the purpose: no answer came in that counts\.$/);
});

test('shown alone, not beside another audience: why', () => {
  const plan = {
    ...planOf(1, 72),
    audiences: [
      { id: 'home', name: 'Home', listeners: 72 },
      { id: 'stage', name: 'Stage', listeners: 72 },
    ],
  };
  const stage = Array.from({ length: 72 }, (_, i) => matched(`S${i}`, i < 60 ? '+' : '-', 'stage')).flat();
  const found = page(plan, [...once(30, 72), ...stage]);
  expect(found.verdict).toBe('undecided');
  expect(found.warnings.join(' ')).toContain('Asked alone, this audience would have shown similarity. 2 audiences');
});

test('which one has more: so many right at least and at most, and the other way round is tried, too', () => {
  const plan = aPlan({
    method: '2-afc',
    aim: 'similarity',
    spec: { trials: 1, attribute: 'bass' },
    units: 2,
    risks,
    audiences: [['home', 72]],
  });
  const wrong = page(plan, once(5, 72));
  expect(wrong.verdict).toBe('undecided');
  expect(figure(wrong, 'Shown with')).toMatch(/^3\d to 3\d right$/);
  expect(wrong.difference?.decided).toContain('the larger p counts');
});
