import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  addedControls,
  comparedIn,
  comparedPlan,
  nextTrial,
  plannedSitting,
  trialsOfSitting,
} from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId } from '../../shared/brands';
import { controlKinds, type Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const seat = (ordinal: number, sitting = 1) => ({ audience: 'home' as AudienceId, ordinal, sitting });
const randomness = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);

const sitting = (plan: Plan, ordinal: number): TrialDesign[] => plannedSitting(plan, seat(ordinal), randomness(1));

const known = { trials: 2, prototype: 'proto-c' };
const difference: PlanWish = {
  method: 'abx',
  trials: 8,
  prototypes: 3,
  units: 2,
  controls: { knownDifference: known, units: 1 },
};
const preference: PlanWish = {
  prototypes: 3,
  units: 2,
  repeats: 2,
  controls: { knownDifference: known, identicalPairs: 1, hiddenRepeats: 2, units: 1 },
};

describe.each([
  ['a difference', difference],
  ['a preference', preference],
] as const)('controls of %s', (_name, wish) => {
  const plan = aPlan(wish);
  const { protocol, spec } = methodOf(plan);

  test('a sitting has its own trials and as many controls of each kind as the plan says', () => {
    for (let ordinal = 1; ordinal <= 4; ordinal++) {
      const [practice, ...trials] = sitting(plan, ordinal) as [TrialDesign, ...TrialDesign[]];
      expect(practice).toMatchObject({ practice: true, ordinal: 0 });
      expect(trials).toHaveLength(trialsOfSitting(plan));
      expect(trials.map(({ ordinal: at }) => at)).toEqual(trials.map((_, i) => i + 1));
      const count = (kind: string) => trials.filter(({ control }) => control === kind).length;
      expect(controlKinds.map(count)).toEqual(
        controlKinds.map((kind) =>
          kind === 'knownDifference' ? known.trials : ((plan.controls[kind] as number | undefined) ?? 0),
        ),
      );
      expect(addedControls(plan)).toBe(trials.filter(({ control }) => control !== undefined).length);
    }
  });

  test('what counts is what the method draws without controls, in its order', () => {
    const bare = aPlan({ ...wish, prototypes: 2, controls: {}, ...('repeats' in wish && { repeats: 6 }) });
    for (let ordinal = 1; ordinal <= 4; ordinal++) {
      const own = sitting(plan, ordinal).filter(({ control }) => control === undefined);
      expect(own.map(({ presentations, shown }) => ({ presentations, shown }))).toEqual(
        sitting(bare, ordinal).map(({ presentations, shown }) => ({ presentations, shown })),
      );
    }
  });

  test('asked trial by trial it is the same sitting', () => {
    const whole = sitting(plan, 2);
    for (const n of [0, 1, whole.length - 1]) {
      const history = whole.slice(0, n).map((design): TrialPast => ({ design, state: 'answered' }));
      expect(nextTrial(plan, seat(2), history, randomness(1))).toEqual(whole[n]);
    }
  });

  test('each kind is made of what it says', () => {
    for (let ordinal = 1; ordinal <= 6; ordinal++) {
      const trials = sitting(plan, ordinal);
      for (const [at, { control, presentations, otherUnits }] of trials.entries()) {
        const different = new Set(presentations).size;
        if (control === undefined) expect(presentations).not.toContain(known.prototype);
        if (control === 'knownDifference') expect(new Set(presentations).has(known.prototype as never)).toBe(true);
        if (control === 'identicalPairs') expect([different, otherUnits]).toEqual([1, undefined]);
        if (control === 'units') {
          expect(different).toBe(1);
          expect(otherUnits?.length).toBeGreaterThan(0);
          expect(otherUnits?.length).toBeLessThan(presentations.length);
        }
        if (control === 'hiddenRepeats') {
          const before = trials.slice(1, at).map((trial) => [...trial.presentations].sort().join());
          expect(before).toContain([...presentations].sort().join());
        }
      }
    }
  });

  test('they come anywhere: no place of a sitting is safe from them, or always one', () => {
    const places = new Map<number, number>();
    for (let ordinal = 1; ordinal <= 60; ordinal++) {
      for (const { control, ordinal: at } of sitting(plan, ordinal)) {
        if (control !== undefined) places.set(at, (places.get(at) ?? 0) + 1);
      }
    }
    expect(places.size).toBe(trialsOfSitting(plan));
    expect(Math.max(...places.values())).toBeLessThan(60);
  });

  test('property: whatever is spoilt is put again once, as what it was, and then it is done', () => {
    const trials = trialsOfSitting(plan);
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: trials }), { maxLength: 4 }),
        fc.integer({ min: 1, max: 9 }),
        (spoilt, ordinal) => {
          const history: TrialPast[] = sitting(plan, ordinal).map((design) => ({
            design,
            state: spoilt.includes(design.ordinal) ? 'void' : 'answered',
          }));
          const again: TrialDesign[] = [];
          for (;;) {
            const next = nextTrial(plan, seat(ordinal), history, randomness(1));
            if (next === 'done') break;
            expect(next.ordinal).toBe(history.length);
            again.push(next);
            history.push({ design: next, state: 'answered' });
          }
          // In the order in which they were spoilt: were controls put last, who sees that order would know them.
          expect(again.map(({ replaces }) => replaces)).toEqual([...spoilt].sort((one, other) => one - other));
          for (const { replaces, control, presentations } of again) {
            const first = history.find(({ design }) => design.ordinal === replaces)?.design;
            expect(control).toBe(first?.control);
            if (control === undefined || control === 'hiddenRepeats') {
              expect(new Set(presentations)).toEqual(new Set(first?.presentations));
            }
          }
        },
      ),
      { numRuns: 30 },
    );
  });

  test('the method never sees the known sample', () => {
    expect(comparedIn(plan).map(({ id }) => id)).toEqual(['proto-a', 'proto-b']);
    expect(protocol.problems(spec, comparedPlan(plan))).toEqual([]);
  });
});

test('without controls a sitting is the method’s own, to the letter', () => {
  const plan = aPlan({ method: 'abx' });
  const { protocol, spec } = methodOf(plan);
  const history = sitting(plan, 3).map((design): TrialPast => ({ design, state: 'answered' }));
  for (let n = 0; n < history.length; n++) {
    const before = history.slice(0, n);
    expect(protocol.next(spec, plan, seat(3), before, randomness(1))).toEqual(history[n]?.design);
    expect(nextTrial(plan, seat(3), before, randomness(1))).toEqual(history[n]?.design);
  }
});

describe('controls of grades', () => {
  test('scales of a repeat stand in the order of all others, in which a listener would find it else', () => {
    const plan = aPlan({
      method: 'several-stimuli',
      prototypes: 3,
      trials: 2,
      scales: ['liking', 'bass', 'warmth'],
      controls: { hiddenRepeats: 2 },
    });
    for (let ordinal = 1; ordinal <= 6; ordinal++) {
      const trials = sitting(plan, ordinal);
      expect(trials.filter(({ control }) => control === 'hiddenRepeats')).toHaveLength(2);
      expect(new Set(trials.map(({ shown }) => shown.join())).size).toBe(1);
    }
  });

  test('a pair with one sample twice has the excerpt of the trials around it, when it comes again, too', () => {
    const plan = aPlan({ method: 'comparison-rating', prototypes: 3, rounds: 2, controls: { identicalPairs: 2 } });
    for (let ordinal = 1; ordinal <= 6; ordinal++) {
      const trials = sitting(plan, ordinal);
      const rounds = trials.map(({ round }) => round as number);
      expect(rounds).toEqual([...rounds].sort((a, b) => a - b));
      const history: TrialPast[] = trials.map((design) => ({ design, state: 'answered' }));
      const spoilt = history.find(({ design }) => design.control === 'identicalPairs') as TrialPast;
      spoilt.state = 'void';
      const again = nextTrial(plan, seat(ordinal), history, randomness(1));
      expect(again).toMatchObject({ replaces: spoilt.design.ordinal, round: spoilt.design.round });
    }
  });
});
