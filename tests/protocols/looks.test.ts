import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { couldShow, lookedAt, lookedBy } from '../../protocols/looks';
import { looksCourse } from '../../protocols/looks-course';
import { type Asked, type LookedPlan, ratioOf } from '../../protocols/looks-ratio';
import type { Looks } from '../../shared/plan';
import { alwaysValid } from '../../stats/always-valid';
import { sprt } from '../../stats/sprt';
import { aPlan } from '../blinding/a-plan';

const strict: Looks = { kind: 'sequential', bounds: 'strict' };
const wald: Looks = { kind: 'sequential', bounds: 'wald' };
const anytime: Looks = { kind: 'always-valid' };

const planOf = (looks: Looks, more: { audiences?: number; alpha?: number; beta?: number } = {}): LookedPlan => {
  const audiences = Array.from({ length: more.audiences ?? 1 }, (_, i): [string, number] => [`audience-${i}`, 8]);
  const { alpha = 0.05, beta = 0.2 } = more;
  return aPlan({ method: 'abx', looks, audiences, risks: { alpha, beta } });
};
const at = (asked: Asked, plan: LookedPlan, answers: readonly (0 | 1)[]) =>
  lookedAt({ ...asked, answers: [...answers] }, plan);

const greater = (p0: number, heard: number): Asked => ({ p0, p1: p0 + (1 - p0) * heard, alternative: 'greater' });
const half = greater(1 / 2, 0.4);
const twoSided: Asked = { p0: 1 / 2, p1: 0.75, alternative: 'two-sided' };

const answersOf = fc.array(fc.constantFrom<0 | 1>(0, 1), { maxLength: 120 });
const chances = fc.constantFrom(1 / 2, 1 / 3, 1 / 10);

describe('against the statistics by themselves', () => {
  test('one-sided it is Wald’s test, at α over the number of audiences', () => {
    fc.assert(
      fc.property(
        answersOf,
        chances,
        fc.double({ min: 0.1, max: 0.9, noNaN: true }),
        fc.boolean(),
        fc.integer({ min: 1, max: 3 }),
        (answers, p0, heard, isStrict, audiences) => {
          const asked = greater(p0, heard);
          const looked = at(asked, planOf(isStrict ? strict : wald, { audiences }), answers);
          const plain = sprt({
            ...plainOf(asked),
            alpha: 0.05 / audiences,
            beta: 0.2,
            outcomes: answers,
            strict: isStrict,
          });
          expect(looked.decidedAt).toBe(plain.decidedAt);
          expect(looked.state).toBe(
            { 'bound-for-difference': 'shown', 'bound-for-none': 'none-shown', continue: 'go-on' }[plain.decision],
          );
          expect(looked.detail).toMatchObject({ upper: plain.upper, lower: plain.lower });
          expect(looked.detail.attainedAlpha).toBe(plain.attainedAlphaBound);
          looked.detail.path.forEach((log, i) => void expect(log).toBeCloseTo(plain.path[i] as number, 9));
        },
      ),
      { numRuns: 60 },
    );
  });

  test('two-sided it is two of Wald’s tests at half of α: found by either, ended where both stand at the lower bound', () => {
    fc.assert(
      fc.property(answersOf, (answers) => {
        const looked = at(twoSided, planOf(strict), answers);
        const tests = [answers, answers.map((one) => 1 - one)].map((outcomes) =>
          sprt({ p0: 0.5, p1: 0.75, alpha: 0.025, beta: 0.2, outcomes, strict: true }),
        );
        const larger = answers.map((_, i) => Math.max(...tests.map(({ path }) => path[i] as number)));
        looked.detail.path.forEach((log, i) => void expect(log).toBeCloseTo(larger[i] as number, 9));
        const { upper, lower } = tests[0] as ReturnType<typeof sprt>;
        const met = larger.findIndex((log) => log >= upper - 1e-9 || log <= lower + 1e-9);
        expect(looked.decidedAt).toBe(met < 0 ? null : met + 1);
        expect(looked.detail.attainedAlpha).toBe(0.05);
      }),
      { numRuns: 60 },
    );
  });

  test('at any time it is the evidence of the mixture, one-sided and two-sided', () => {
    fc.assert(
      fc.property(
        answersOf,
        chances,
        fc.constantFrom<Asked['alternative']>('greater', 'two-sided'),
        (answers, p0, alternative) => {
          const looked = at({ p0, p1: 0.9, alternative }, planOf(anytime), answers);
          const plain = alwaysValid({ p0, outcomes: answers, alpha: 0.05, alternative });
          expect(looked.decidedAt).toBe(plain.rejectedAt);
          looked.detail.path.forEach((log, i) => void expect(log).toBeCloseTo(plain.logE[i] as number, 9));
          if (plain.rejectedAt === null && answers.length > 0) expect(looked.p).toBeCloseTo(plain.p, 9);
        },
      ),
      { numRuns: 60 },
    );
  });
});

const plainOf = ({ p0, p1 }: Asked) => ({ p0, p1 });

describe('the published lines', () => {
  // ISO 16820:2019, examples as lines of right answers over answers: slope and the two intercepts (from memory), found
  // again from Wald (1947) by hand: s = ln((1−p0)/(1−p1)) / (ln(p1/p0) + ln((1−p0)/(1−p1))).
  test.each([
    ['triangle, pd 40 %, α = β = 5 %', greater(1 / 3, 0.4), 0.05, 0.05, 0.465, 2.68, -2.68],
    ['directional pair, p1 = 75 %, α = 5 %, β = 10 %', greater(1 / 2, 0.5), 0.05, 0.1, 0.631, 2.631, -2.049],
  ] as const)('%s', (_name, asked, alpha, beta, slope, above, below) => {
    const ratio = ratioOf(asked, planOf(wald, { alpha, beta }));
    for (let answers = 3; answers <= 60; answers++) {
      for (let right = 0; right <= answers; right++) {
        const [up, down] = [slope * answers + above, slope * answers + below];
        // Lines of three decimals say nothing right beside them.
        if (Math.abs(right - up) < 0.05 || Math.abs(right - down) < 0.05) continue;
        const log = ratio.log(right, answers - right);
        expect([answers, right, log >= ratio.upper]).toEqual([answers, right, right > up]);
        expect([answers, right, log <= (ratio.lower as number)]).toEqual([answers, right, right < down]);
      }
    }
  });
});

describe('a decision', () => {
  test('is never changed by what comes later', () => {
    fc.assert(
      fc.property(
        answersOf,
        answersOf,
        fc.constantFrom(strict, wald, anytime),
        fc.constantFrom(half, twoSided),
        (first, more, looks, asked) => {
          const plan = planOf(looks);
          const before = at(asked, plan, first);
          const after = at(asked, plan, [...first, ...more]);
          if (before.state === 'go-on') return;
          expect(after).toEqual({ ...before, detail: { ...before.detail, after: before.detail.after + more.length } });
        },
      ),
    );
  });

  test('is made at the bound, and not one answer before', () => {
    // ln 20 / ln(0.7/0.5) = 8.9; Wald’s own bound ln 16 / ln 1.4 = 8.2; ln 40 / ln 1.4 = 11 with two audiences.
    for (const [plan, needed] of [
      [planOf(strict), 9],
      [planOf(wald), 9],
      [planOf(strict, { audiences: 2 }), 11],
      [planOf(anytime), 7],
    ] as const) {
      expect(at(half, plan, Array<1>(needed).fill(1))).toMatchObject({ state: 'shown', decidedAt: needed });
      expect(at(half, plan, Array<1>(needed - 1).fill(1))).toMatchObject({ state: 'go-on', decidedAt: null });
    }
  });

  test('could be shown only by so many answers', () => {
    expect(couldShow({ ...half, answers: Array<0>(9).fill(0) }, planOf(strict))).toBe(true);
    expect(couldShow({ ...half, answers: Array<0>(8).fill(0) }, planOf(strict))).toBe(false);
  });

  test('before the first answer there is none', () => {
    for (const looks of [strict, wald, anytime]) {
      expect(at(half, planOf(looks), [])).toMatchObject({ state: 'go-on', p: null, detail: { counted: 0, path: [] } });
    }
  });

  test('a plan of fixed size has no looks', () => {
    expect(() => at(half, planOf({ kind: 'fixed' }), [1])).toThrow('looked at once');
  });

  test('each kind has its name', () => {
    expect(new Set([strict, wald, anytime].map(lookedBy)).size).toBe(3);
  });
});

describe('the course of a plan', () => {
  const asked = { half, third: greater(1 / 3, 0.4), tenth: greater(1 / 10, 0.4), twoSided };
  const every = Object.entries(asked).flatMap(([name, one]) =>
    [strict, wald, anytime].map(
      (looks) => [`${name}, ${looks.kind === 'sequential' ? looks.bounds : looks.kind}`, one, looks] as const,
    ),
  );

  test.each(every)('%s: is what all sequences of nine answers come to, one by one', (_name, one, looks) => {
    const plan = planOf(looks, { alpha: 0.2, beta: 0.3 });
    for (const truth of [one.p0, one.p1]) {
      let [shown, noneShown, expected] = [0, 0, 0];
      for (let bits = 0; bits < 2 ** 9; bits++) {
        const answers = Array.from({ length: 9 }, (_, i): 0 | 1 => ((bits >> i) & 1) as 0 | 1);
        const ones = answers.reduce<number>((sum, answer) => sum + answer, 0);
        const likely = truth ** ones * (1 - truth) ** (9 - ones);
        const { state, detail } = at(one, plan, answers);
        if (state === 'shown') shown += likely;
        if (state === 'none-shown') noneShown += likely;
        expected += likely * detail.counted;
      }
      const course = looksCourse(one, plan, 9, truth);
      expect(course.shown).toBeCloseTo(shown, 12);
      expect(course.noneShown).toBeCloseTo(noneShown, 12);
      expect(course.expected).toBeCloseTo(expected, 10);
    }
  });

  test.each(every)(
    '%s: peeked at after each of 600 answers, false alarms stay within what is attained',
    (_name, one, looks) => {
      for (const audiences of [1, 2]) {
        const plan = planOf(looks, { audiences });
        const { shown } = looksCourse(one, plan, 600, one.p0);
        expect(shown).toBeLessThanOrEqual(at(one, plan, []).detail.attainedAlpha);
        // And not by never finding anything.
        expect(shown).toBeGreaterThan(0.01 / audiences);
      }
    },
  );

  test.each(every.filter(([, , looks]) => looks.kind === 'sequential'))(
    '%s: the smallest effect is missed within the planned risk',
    (_name, one, looks) => {
      const plan = planOf(looks);
      const { noneShown } = looksCourse(one, plan, 600, one.p1);
      // Wald (1947): the risk is at most β / (1 − α).
      expect(noneShown).toBeLessThanOrEqual(0.2 / (1 - 0.05));
    },
  );
});
