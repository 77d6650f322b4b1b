import { describe, expect, test } from 'vitest';
import { type CheckAllSpec, checkAll } from '../../protocols/check-all';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { designsOf, quickRandomness } from './whole-study';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'check-all', ...wish });
const specOf = (plan: Plan) => checkAll.spec.parse(plan.method.spec);
const paths = (plan: Plan, change: (spec: CheckAllSpec) => void = () => {}) => {
  const spec = structuredClone(specOf(plan));
  change(spec);
  return checkAll.problems(spec, plan).map(({ path, code }) => `${path} ${code}`);
};

describe('what stands against a plan, by its field', () => {
  test('a word that is there twice, or is named like the scale of liking', () => {
    expect(
      paths(planOf({ liked: true }), ({ attributes }) => {
        const [warm, bright, boomy] = attributes;
        if (!warm || !bright || !boomy) throw new Error('three were asked for');
        bright.name = 'WARM';
        boomy.id = 'liking';
      }),
    ).toEqual(['method.spec.attributes.1.name repeated', 'method.spec.attributes.2.id repeated']);
  });

  test('a word called like the scale of liking is told once, by its name', () => {
    const plan = planOf({ liked: true });
    const spec = specOf(plan);
    Object.assign(spec.attributes[1] ?? {}, { id: 'liking', name: 'Liking' });
    expect(checkAll.problems(spec, plan).map(({ path, message }) => [path, message])).toEqual([
      ['method.spec.attributes.1.name', '“Liking” is the name of another scale already. Give this word another name.'],
    ]);
  });

  test('a verdict on no word of the list: liking is none', () => {
    expect(paths(planOf({ liked: true, scale: 'liking' }))).toEqual(['primary.scale not-a-scale']);
  });

  test('liking without a middle', () => {
    const change = ({ liking }: CheckAllSpec) => Object.assign(liking ?? {}, { points: 4 });
    expect(paths(planOf({ liked: true }), change)).toEqual(['method.spec.liking.points no-middle']);
  });

  test('a second round, or a repeat, under the same code', () => {
    expect(paths(planOf({ handling: 'day-code', rounds: 2, hiddenRepeats: 1 }))).toEqual([
      'method.spec.rounds not-hidden',
      'controls.hiddenRepeats not-hidden',
    ]);
  });

  test('one word is no list, nor are more than 24; ids are small letters', () => {
    const [one] = specOf(planOf()).attributes;
    const many = Array.from({ length: 25 }, (_, i) => ({ id: `word-${i}`, name: `Word ${i}` }));
    for (const attributes of [[one], many]) {
      expect(checkAll.spec.safeParse({ attributes }).error?.issues.map(({ path }) => path)).toEqual([['attributes']]);
    }
    const odd = checkAll.spec.safeParse({ attributes: [one, { id: 'Über', name: 'x' }] });
    expect(odd.error?.issues.map(({ path }) => path.join('.'))).toEqual(['attributes.1.id']);
  });
});

test('words stand in one order for a listener over all samples and sittings, in another for others; liking before them', () => {
  for (const liked of [true, undefined]) {
    const plan = planOf({ ...(liked && { liked }), prototypes: 3, sessions: 2, rounds: 2 });
    const orders = Array.from({ length: 8 }, (_, n) => {
      const own = [1, 2].flatMap((sitting) =>
        designsOf(plan, { audience: 'home' as AudienceId, ordinal: n + 1, sitting }, quickRandomness('words')),
      );
      const all = [...new Set(own.map(({ shown }) => shown.join()))];
      expect(all).toHaveLength(1);
      if (liked) expect(own[0]?.shown[0]).toBe(0);
      return all[0];
    });
    expect(new Set(orders).size).toBeGreaterThan(2);
  }
});
