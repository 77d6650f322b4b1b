import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import { checkPlan } from '../../server/plan/check';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';

/** Paths of what the method itself has against a plan. */
const fields = (plan: Plan): string[] => {
  const { protocol, spec } = methodOf(plan);
  return protocol.problems(spec, plan).map(({ path, message }) => {
    expect(message).toMatch(/^\S.+\.$/s);
    return path;
  });
};
const of = (wish: PlanWish, changed: Partial<Plan> = {}) => fields({ ...aPlan(wish), ...changed });

describe('several stimuli', () => {
  const several = (wish: PlanWish) => of({ method: 'several-stimuli', ...wish });

  test('all prototypes, or as many as balanced blocks take: 5 by 3 are balanced after every 10 trials', () => {
    expect(several({ prototypes: 5 })).toEqual([]);
    expect(several({ prototypes: 4, size: 5 })).toEqual(['method.spec.size']);
    const of = (listeners: number, trials: number, sessions: number) =>
      several({ prototypes: 5, size: 3, trials, sessions, audiences: [['home', listeners]] });
    expect(of(10, 1, 1)).toEqual([]);
    expect(of(5, 2, 1)).toEqual([]);
    expect(of(5, 1, 2)).toEqual([]);
    expect(of(8, 1, 1)).toEqual(['method.spec.size']);
    expect(of(15, 1, 1)).toEqual(['method.spec.size']);
  });

  test('the sizes named instead are those that can be balanced', () => {
    const plan = aPlan({ method: 'several-stimuli', prototypes: 8, size: 3 });
    const { protocol, spec } = methodOf(plan);
    const [problem] = protocol.problems(spec, plan);
    for (const size of (problem?.allowed ?? '').split(', ').map(Number)) {
      expect(several({ prototypes: 8, size }), String(size)).toEqual([]);
    }
  });

  test('a second trial of a sitting needs fresh codes', () => {
    expect(several({ trials: 2, handling: 'day-code' })).toEqual(['method.spec.trials']);
    expect(several({ trials: 2, handling: 'solo' })).toEqual(['method.spec.trials']);
    expect(several({ trials: 1, handling: 'day-code' })).toEqual([]);
  });

  test('scales: names and ids once, two ends, a middle; the verdict rests on one of them, by less than its range', () => {
    const bass = starter('bass');
    const path = 'method.spec.scales';
    expect(several({ scales: [bass, { ...bass, id: 'bass-2' }] })).toEqual([`${path}.1.name`]);
    expect(several({ scales: [bass, { ...bass, name: 'Low end' }] })).toEqual([`${path}.1.id`]);
    expect(several({ scales: [{ ...bass, high: 'LITTLE' }] })).toEqual([`${path}.0.high`]);
    expect(several({ scales: [{ ...bass, polarity: 'bipolar', points: 6 }] })).toEqual([`${path}.0.points`]);
    expect(several({ scale: 'warmth' })).toEqual(['primary.scale']);
    const risks = (value: number) => ({ risks: { smallest: { kind: 'points' as const, value } } });
    expect(several({ ...risks(6) })).toEqual(['risks.smallest.value']);
    expect(several({ ...risks(5.9) })).toEqual([]);
  });
});

describe.each(['reference-and-anchors', 'small-impairments'] as const)('%s', (method) => {
  const plan = aPlan({ method, prototypes: 3, rounds: 2, screening: true });
  const withSpec = (spec: object): Plan => ({
    ...plan,
    method: { id: method, spec: { ...(plan.method.spec as object), ...spec } },
  });

  test('the reference is a prototype of the plan', () => {
    expect(fields(plan)).toEqual([]);
    expect(fields(withSpec({ reference: 'proto-x' }))).toEqual(['method.spec.reference']);
  });

  test('renders alone', () => {
    expect(of({ method, prototypes: 3, playback: 'bench-player' })).toEqual(['playback']);
    expect(of({ method, prototypes: 3, playback: 'seat-player' })).toEqual(['playback']);
  });

  test('the scale of the standard, and differences within it', () => {
    expect(fields({ ...plan, primary: { ...plan.primary, scale: 'liking' } })).toEqual(['primary.scale']);
    const widest = method === 'small-impairments' ? 4 : 100;
    const smallest = (value: number) => ({ ...plan.risks, smallest: { kind: 'points' as const, value } });
    expect(fields({ ...plan, risks: smallest(widest) })).toEqual(['risks.smallest.value']);
    expect(fields({ ...plan, risks: smallest(widest - 0.1) })).toEqual([]);
  });

  test('a rule for leaving out is there unless it is refused', () => {
    const { protocol } = methodOf(plan);
    expect(protocol.spec.parse({ reference: 'proto-a' })).toMatchObject({ screening: true });
  });

  test('what makes pages knows how many samples there are, and not which one is the reference', () => {
    const { protocol, spec, form } = methodOf(plan);
    expect(JSON.stringify(protocol.blindSpec?.(spec))).not.toContain('proto-');
    const { id } = plan.method;
    const blind = { method: { id, spec: protocol.blindSpec?.(spec) }, noPreference: plan.noPreference, samples: 3 };
    expect(methodOf(blind).form).toEqual(form);
  });
});

describe('hidden reference and anchors', () => {
  const wish: PlanWish = { method: 'reference-and-anchors', prototypes: 3 };

  test('an anchor is no reference, and stands there once for each frequency', () => {
    expect(of({ ...wish, anchors: [3500, 7000] })).toEqual([]);
    const spec = { reference: 'anchor-7000' };
    expect(of({ ...wish, anchors: [7000], spec })).toEqual(['method.spec.reference']);
    const twice = aPlan({ ...wish, anchors: [3500] });
    const prototypes = [...twice.prototypes, { ...twice.prototypes.at(-1), id: 'again' } as Plan['prototypes'][0]];
    expect(fields({ ...twice, prototypes })).toEqual(['prototypes.4.anchor']);
  });

  test('twelve are graded at most, the reference and anchors among them', () => {
    expect(checkPlan(aPlan({ ...wish, prototypes: 10, anchors: [3500, 7000] })).problems).toEqual([]);
    const full = aPlan({ ...wish, prototypes: 12 });
    const more = { ...full, prototypes: [...full.prototypes, { id: 'm', name: 'Prototype M', units: [] }] };
    expect(checkPlan(full).problems).toEqual([]);
    expect(checkPlan(more).problems).toMatchObject([{ path: 'prototypes', code: 'too-many' }]);
  });

  test('its form puts the reference openly, and all samples after it', () => {
    const { form } = methodOf(aPlan({ ...wish, anchors: [7000] }));
    expect(form).toMatchObject({ presentations: 5, graded: [1, 2, 3, 4], reference: 0 });
  });
});

describe('small impairments', () => {
  test('post-screening needs three trials of each listener', () => {
    const small = (wish: PlanWish) => of({ method: 'small-impairments', screening: true, ...wish });
    expect(small({ rounds: 2 })).toEqual(['method.spec.screening']);
    expect(small({ rounds: 2, screening: false })).toEqual([]);
    expect(small({ rounds: 3 })).toEqual([]);
    expect(small({ rounds: 2, sessions: 2 })).toEqual([]);
    expect(small({ rounds: 1, prototypes: 4 })).toEqual([]);
  });
});

describe('category rating', () => {
  test('absolute: a second round and hidden repeats need fresh codes', () => {
    const absolute = (wish: PlanWish) => of({ method: 'absolute-rating', ...wish });
    expect(absolute({ rounds: 2, handling: 'day-code' })).toEqual(['method.spec.rounds']);
    expect(absolute({ hiddenRepeats: 1, handling: 'day-code' })).toEqual(['controls.hiddenRepeats']);
    expect(absolute({ handling: 'day-code' })).toEqual([]);
    expect(absolute({ risks: { smallest: { kind: 'points', value: 4 } } })).toEqual(['risks.smallest.value']);
  });

  test('comparison: both ways round need fresh codes, and no more comparisons than anybody judges well', () => {
    const comparison = (wish: PlanWish) => of({ method: 'comparison-rating', ...wish });
    expect(comparison({ prototypes: 3 })).toEqual([]);
    expect(comparison({ handling: 'day-code' })).toEqual(['handling']);
    expect(comparison({ prototypes: 4, rounds: 5 })).toEqual([]);
    expect(comparison({ prototypes: 5, rounds: 4 })).toEqual(['method.spec.rounds']);
    expect(comparison({ risks: { smallest: { kind: 'points', value: 6 } } })).toEqual(['risks.smallest.value']);
  });
});
