import { describe, expect, test } from 'vitest';
import { codesPerSitting, drawSitting } from '../../server/blinding/draw';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from './a-plan';
import { impressionPlan } from './impression-ledger';

/** What the draw does for methods whose trials have one sample, or three, or none. */

const abxPlan = (wish: PlanWish = {}): Plan => ({
  ...aPlan({ sessions: 3, ...wish }),
  aim: 'difference',
  method: { id: 'abx', spec: { trials: 6 } },
  risks: { alpha: 0.05, beta: 0.2, smallest: { kind: 'heard', value: 0.5 }, sides: 'one-sided' },
});
const draw = (plan: Plan, seed = 7) => ({ seed: Buffer.alloc(32, seed), planVersion: 1, plan });
const at = (ordinal: number, session = 1) => ({
  audience: 'home' as AudienceId,
  ordinal,
  session,
  sitting: session,
});
const sitting = (plan: Plan, ordinal: number, session = 1) => drawSitting(draw(plan), at(ordinal, session), 0);

describe('ABX', () => {
  const plan = abxPlan({ units: 2 });

  test('the third sample is the very unit of its twin, under a code of its own', () => {
    for (let ordinal = 1; ordinal <= 8; ordinal++) {
      for (const { design, units, codes } of sitting(plan, ordinal).trials) {
        const twin = design.presentations[0] === design.presentations[2] ? 0 : 1;
        expect(units[2]).toBe(units[twin]);
        expect(units[0]).not.toBe(units[1]);
        expect(new Set(codes).size).toBe(3);
      }
    }
  });

  test('codes of a session are unique over listeners', () => {
    const codes = Array.from({ length: 8 }, (_, i) =>
      sitting(plan, i + 1).trials.flatMap((trial) => trial.codes),
    ).flat();
    expect(codes).toHaveLength(8 * codesPerSitting(plan));
    expect(new Set(codes).size).toBe(codes.length);
  });

  test('with day codes the third bears the code of its twin, since carriers keep theirs', () => {
    for (const { codes } of sitting(abxPlan({ handling: 'day-code' }), 1).trials) {
      expect(codes.slice(0, 2)).toContain(codes[2]);
    }
  });

  type Trial = ReturnType<typeof sitting>['trials'][number];
  const habits: Record<string, (trial: Trial, index: number) => number> = {
    'the upper answer': ({ design }) => design.shown[0] ?? 0,
    'what was heard first': () => 0,
    'the lower code': ({ codes: [first = '', second = ''] }) => (first < second ? 0 : 1),
    'the upper one and the lower one by turns': ({ design }, index) => design.shown[index % 2] ?? 0,
    // By its day code a listener knows a sample again.
    'always the same prototype': ({ design }) => (design.presentations[0] === 'proto-a' ? 0 : 1),
  };
  test.each(['two-person', 'day-code'] as const)('%s: no habit is right more often than guessing', (handling) => {
    const study = abxPlan({ units: 2, handling });
    const sittings = Array.from({ length: 120 * 6 }, (_, i) =>
      drawSitting(draw(study, i % 120), at(1 + Math.floor(i / 120)), 0).trials.filter(({ design }) => !design.practice),
    );
    const trials = sittings.flat();
    expect(trials).toHaveLength(120 * 6 * 6);
    for (const [habit, picks] of Object.entries(habits)) {
      const right = sittings.flatMap((own) =>
        own.filter((trial, i) => trial.design.presentations[picks(trial, i)] === trial.design.presentations[2]),
      );
      // Four standard errors; the seeds are fixed.
      const near = 4 * Math.sqrt(0.25 / trials.length);
      expect(Math.abs(right.length / trials.length - 0.5), habit).toBeLessThan(near);
    }
  });

  test('another session: other codes, other sides, the other unit', () => {
    const [first, second] = [sitting(plan, 1, 1), sitting(plan, 1, 2)];
    const told = (one: typeof first) => one.trials.map(({ design }) => design.presentations.join());
    expect(told(second)).not.toEqual(told(first));
    const unitsOf = (one: typeof first) => new Set(one.trials.flatMap(({ units }) => units));
    for (const unit of unitsOf(second)) expect(unitsOf(first)).not.toContain(unit);
    const shared = first.trials[1]?.codes.filter((code) => second.trials[1]?.codes.includes(code));
    expect(shared).toEqual([]);
  });
});

describe('first impressions', () => {
  test('practice has neither sample nor code, and takes none away', () => {
    const [practice, ...scored] = sitting(impressionPlan, 1).trials;
    expect(practice).toMatchObject({ units: [], codes: [], design: { practice: true, presentations: [] } });
    expect(scored.map(({ codes }) => codes.length)).toEqual([1, 1]);
    expect(codesPerSitting(impressionPlan)).toBe(2);
  });

  test('hidden repeats have codes of their own', () => {
    const plan: Plan = { ...impressionPlan, controls: { hiddenRepeats: 2 } };
    const { trials } = sitting(plan, 1);
    const codes = trials.flatMap((trial) => trial.codes);
    expect(codes).toHaveLength(4);
    expect(new Set(codes).size).toBe(4);
    const heard = trials.slice(1).map(({ design }) => design.presentations[0]);
    expect(heard.filter((id) => id === 'proto-a')).toHaveLength(2);
  });
});
