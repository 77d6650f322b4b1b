import { describe, expect, test } from 'vitest';
import { type JustAboutRightSpec, justAboutRight } from '../../protocols/just-about-right';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { words } from '../../shared/words/en';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { designsOf, quickRandomness } from './whole-study';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'just-about-right', ...wish });
const specOf = (plan: Plan) => justAboutRight.spec.parse(plan.method.spec);
const paths = (plan: Plan, change: (spec: JustAboutRightSpec) => void = () => {}) => {
  const spec = structuredClone(specOf(plan));
  change(spec);
  return justAboutRight.problems(spec, plan).map(({ path, code }) => `${path} ${code}`);
};

describe('what stands against a plan, by its field', () => {
  test('ends that say the same, an attribute that is there twice or is named like liking', () => {
    expect(
      paths(planOf(), ({ liking, scales }) => {
        const [bass, treble] = scales;
        if (!bass || !treble) throw new Error('two were asked for');
        bass.high = bass.low;
        bass.name = liking.name;
        treble.id = bass.id;
      }),
    ).toEqual([
      'method.spec.scales.0.high same-ends',
      'method.spec.scales.0.name repeated',
      'method.spec.scales.1.id repeated',
    ]);
  });

  test('liking without a middle', () => {
    expect(paths(planOf(), ({ liking }) => Object.assign(liking, { points: 8 }))).toEqual([
      'method.spec.liking.points no-middle',
    ]);
  });

  test('a verdict on anything but liking, or on more than it is wide', () => {
    expect(paths(planOf({ scale: 'bass' }))).toEqual(['primary.scale not-a-scale']);
    expect(paths(planOf({ risks: { smallest: { kind: 'points', value: 8 } } }))).toEqual([
      'risks.smallest.value too-large',
    ]);
  });

  test('a second round under the same code', () => {
    expect(paths(planOf({ handling: 'solo', rounds: 2 }))).toEqual(['method.spec.rounds not-hidden']);
  });

  test('liking by another id isn’t taken', () => {
    const { liking, scales } = specOf(planOf());
    const { error } = justAboutRight.spec.safeParse({ liking: { ...liking, id: 'love' }, scales });
    expect(error?.issues.map(({ path }) => path.join('.'))).toEqual(['liking.id']);
  });
});

test('liking on nine points, then sides of two steps about a middle that says what it is', () => {
  const plan = planOf();
  const form = justAboutRight.form(specOf(plan), plan);
  if (form.kind !== 'grades') throw new Error('it grades');
  expect(form.scales.map(({ id, from, to }) => [id, from, to])).toEqual([
    ['liking', -4, 4],
    ['bass', -2, 2],
    ['treble', -2, 2],
  ]);
  const [, bass] = form.scales;
  expect(bass).toMatchObject({ low: { own: 'too little bass' }, high: { own: 'too much bass' } });
  expect(bass?.marks).toEqual([{ at: 0, says: { key: 'scale.just-about-right' } }]);
  expect(words['scale.just-about-right']).toBe('just about right');
});

test('liking stands first; attributes in one order for each listener, which differs over listeners', () => {
  const plan = planOf({ attributes: ['bass', 'treble', 'stage'], prototypes: 3, sessions: 2 });
  const orders = Array.from({ length: 8 }, (_, n) => {
    const own = [1, 2].flatMap((sitting) =>
      designsOf(plan, { audience: 'home' as AudienceId, ordinal: n + 1, sitting }, quickRandomness('sides')),
    );
    const all = [...new Set(own.map(({ shown }) => shown.join()))];
    expect(all).toHaveLength(1);
    expect(own[0]?.shown[0]).toBe(0);
    return all[0];
  });
  expect(new Set(orders).size).toBeGreaterThan(2);
});
