import type { Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';
import type { PlanWish } from './a-plan';

const points = (value: number): Pick<Plan['risks'], 'smallest' | 'sides'> => ({
  smallest: { kind: 'points', value },
  sides: 'two-sided',
});

/** The parts of a plan for methods that grade as standards have it. The reference is the first prototype. */
export function byStandard(wish: PlanWish, starter: (id: string) => Scale, prototypes: number) {
  const base = {
    aim: wish.aim ?? ('profile' as const),
    question: 'How do they differ?',
    controls: wish.hiddenRepeats === undefined ? {} : { hiddenRepeats: wish.hiddenRepeats },
  };
  const rounds = { rounds: wish.rounds ?? 1 };
  const screening = { screening: wish.screening ?? false };
  switch (wish.method) {
    case 'several-stimuli': {
      const scales = (wish.scales ?? ['liking', 'bass']).map((one) => (typeof one === 'string' ? starter(one) : one));
      const scale = wish.scale ?? scales[0]?.id;
      const spec = wish.spec ?? { scales, size: wish.size ?? prototypes, trials: wish.trials ?? 1 };
      return { ...base, spec, risks: points(1), ...(scale === undefined ? {} : { scale }) };
    }
    case 'reference-and-anchors':
      return {
        ...base,
        spec: wish.spec ?? { reference: 'proto-a', trials: wish.trials ?? 1, ...screening },
        risks: points(10),
        scale: 'quality',
      };
    case 'small-impairments':
      return {
        ...base,
        spec: wish.spec ?? { reference: 'proto-a', ...rounds, ...screening },
        risks: points(0.5),
        scale: 'impairment',
      };
    case 'comparison-rating':
      return { ...base, spec: wish.spec ?? rounds, risks: points(1), scale: 'comparison' };
    default:
      return { ...base, spec: wish.spec ?? rounds, risks: points(0.5), scale: 'quality' };
  }
}

/** Methods that play renders alone. */
export const playsRenders = (method: PlanWish['method']): boolean =>
  method === 'reference-and-anchors' || method === 'small-impairments';
