import { describe, expect, test } from 'vitest';
import { type AttributeProfileSpec, attributeProfile } from '../../protocols/attribute-profile';
import type { Outcome, Truth } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';
import { panel } from './rated';
import { designsOf, quickRandomness, wholeStudy } from './whole-study';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'attribute-profile', ...wish });
const specOf = (plan: Plan) => attributeProfile.spec.parse(plan.method.spec);
const paths = (plan: Plan, change: (spec: AttributeProfileSpec) => void = () => {}) => {
  const spec = structuredClone(specOf(plan));
  change(spec);
  return attributeProfile.problems(spec, plan).map(({ path, code }) => `${path} ${code}`);
};

describe('what stands against a plan, by its field', () => {
  test('an attribute without a definition, one that is there twice, ends that say the same, no middle', () => {
    expect(
      paths(planOf(), ({ scales }) => {
        const [brightness, bass] = scales;
        if (!brightness || !bass) throw new Error('two were asked for');
        brightness.definition = '';
        brightness.points = 8;
        bass.name = 'BRIGHTNESS';
        bass.high = 'LITTLE';
      }),
    ).toEqual([
      'method.spec.scales.0.points no-middle',
      'method.spec.scales.1.high same-ends',
      'method.spec.scales.1.name repeated',
      'method.spec.scales.0.definition missing',
    ]);
  });

  test('a verdict on no scale of the plan, or on more than its scale is wide', () => {
    expect(paths(planOf({ scale: 'warmth' }))).toEqual(['primary.scale not-a-scale']);
    const risks = { smallest: { kind: 'points', value: 6 } } as const;
    expect(paths(planOf({ risks }))).toEqual(['risks.smallest.value too-large']);
  });

  test('a second time under the same code', () => {
    const day = { handling: 'day-code' } as const;
    expect(paths(planOf({ ...day, rounds: 2 }))).toEqual(['method.spec.rounds not-hidden']);
    expect(paths(planOf({ ...day, hiddenRepeats: 1 }))).toEqual(['controls.hiddenRepeats not-hidden']);
    expect(paths(planOf({ ...day, sessions: 3 }))).toEqual([]);
  });

  test('a definition of more than a line or two isn’t taken, nor a fourth round', () => {
    const long = { scales: [{ ...starter('bass'), definition: 'x'.repeat(201) }], rounds: 4 };
    const { error } = attributeProfile.spec.safeParse(long);
    expect(error?.issues.map(({ path }) => path.join('.'))).toEqual(['scales.0.definition', 'rounds']);
  });
});

test('the page shows definitions, in one order of attributes for a listener over all samples and sittings', () => {
  const plan = planOf({ prototypes: 3, sessions: 2, rounds: 2, scales: ['brightness', 'bass', 'warmth'] });
  expect(attributeProfile.form(specOf(plan), plan)).toMatchObject({
    scales: [{ definition: 'What is meant by brightness' }, {}, {}],
  });
  const orders = Array.from({ length: 8 }, (_, n) => {
    const own = [1, 2].flatMap((sitting) =>
      designsOf(plan, { audience: 'home' as AudienceId, ordinal: n + 1, sitting }, quickRandomness('orders')),
    );
    expect(own.filter(({ practice }) => practice).map(({ presentations }) => presentations.length)).toEqual([1, 1]);
    expect(own).toHaveLength(2 * (1 + 6));
    const [first, ...others] = [...new Set(own.map(({ shown }) => shown.join()))];
    expect(others).toEqual([]);
    return first;
  });
  expect(new Set(orders).size).toBeGreaterThan(2);
});

test('samples rated again in a sitting, and on another day, say who repeats a rating', () => {
  const plan = planOf({ scales: ['bass'], sessions: 2, rounds: 2, audiences: [['home', 4]] });
  const outcomes: Outcome[] = panel(
    [
      'a6 b4 b4 a6 | a5 b4 a6 b3',
      'a5 b2 a5 b3 | b2 a5 a4 b2',
      'a7 b5 a6 b5 | a7 b5 b5 a7',
      'b3 a4 a4 b3 | a5 b3 b3 a5',
    ],
    'home',
    'bass',
  );
  const { results, habituation } = attributeProfile.analyse(outcomes, plan);
  expect(results[0]).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a', n: { listeners: 4, days: 2 } });
  const [bass] = habituation;
  expect(bass?.scale).toBe('bass');
  expect(bass?.repeatability.withinDay?.pairs).toBe(16);
  expect(bass?.repeatability.acrossDays?.pairs).toBe(8);
});

test('what is planted on one attribute is found there, and not on the others', () => {
  const plan = planOf({ sessions: 2, scale: 'bass', audiences: [['home', 10]] });
  const ratings = { bass: { 'proto-a': 1, 'proto-b': -1 } };
  const truth: Truth = { ratings, listenerSd: 0.7, interactionSd: 0.4, residualSd: 0.7 };
  const [result] = attributeProfile.analyse(wholeStudy(plan, [truth], 'planted'), plan).results;
  expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
  const brightness = result?.ratings?.scales.find(({ scale }) => scale === 'brightness');
  expect(brightness?.pairs.map(({ pAdjusted }) => (pAdjusted ?? 0) > 0.05)).toEqual([true]);
});
