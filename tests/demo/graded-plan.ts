import { protocolOf } from '../../protocols/index';
import { type MethodId, type Plan, planSchema } from '../../shared/plan';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';

/** Plans of all methods that ask for grades, as small as they may be; two prototypes or three, and anchors where there are any. */

const liking = starter('liking');
const words = ['boomy', 'clear', 'sharp'].map((id) => ({ id, name: id }));
const specs: Partial<Record<MethodId, { scale: string; spec: unknown }>> = {
  'several-stimuli': { scale: 'liking', spec: { scales: [liking], size: 3, trials: 1 } },
  'reference-and-anchors': { scale: 'quality', spec: { reference: 'proto-a', trials: 1 } },
  'small-impairments': { scale: 'impairment', spec: { reference: 'proto-a', rounds: 1 } },
  'absolute-rating': { scale: 'quality', spec: { rounds: 1 } },
  'comparison-rating': { scale: 'comparison', spec: { rounds: 1 } },
  'attribute-profile': {
    scale: 'brightness',
    spec: {
      scales: [{ ...starter('brightness'), definition: 'How much treble there is' }, starter('bass')],
      rounds: 1,
    },
  },
  'just-about-right': {
    scale: 'liking',
    spec: { liking, scales: [{ id: 'bass', name: 'Bass', low: 'far too little', high: 'far too much' }], rounds: 1 },
  },
  'check-all': { scale: 'boomy', spec: { attributes: words, liking, rounds: 1 } },
};
export const gradedMethods = Object.keys(specs) as MethodId[];

/** With `anchors` the last two prototypes are low-passed. */
export function gradedPlan(method: MethodId, wish: PlanWish & { anchors?: boolean; scale?: string } = {}): Plan {
  const found = specs[method];
  if (!found) throw new Error(`${method} asks for no grades.`);
  const withReference = ['reference-and-anchors', 'small-impairments'].includes(method);
  const { anchors = false, scale = found.scale, ...more } = wish;
  const count = wish.prototypes ?? 3;
  const plan = aPlan({
    prototypes: count,
    // The first is the reference.
    primary: withReference && count - (anchors ? 2 : 0) > 2 ? [1, 2] : [0, 1],
    ...(withReference ? { playback: 'renders' } : {}),
    ...more,
    method: 'paired-preference',
  });
  const { aims, smallest } = protocolOf(method);
  const value = smallest === 'ticked' ? 0.3 : scale === 'quality' && method === 'reference-and-anchors' ? 15 : 0.5;
  const [aim] = aims;
  if (!aim) throw new Error(`${method} has no aim.`);
  return planSchema.parse({
    ...plan,
    aim: aims.includes('profile') ? 'profile' : aim,
    method: { id: method, spec: protocolOf(method).spec.parse(wish.spec ?? found.spec) },
    prototypes: plan.prototypes.map((one, i) => {
      const from = count - i;
      return anchors && from <= 2 ? { ...one, anchor: { lowPassHz: from === 1 ? 3_500 : 7_000 } } : one;
    }),
    risks: { ...plan.risks, smallest: { kind: smallest, value } },
    primary: { ...plan.primary, scale },
  });
}
