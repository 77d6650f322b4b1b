import type { Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';
import type { PlanWish } from './a-plan';

/** Settings of methods in which a team's own attributes are rated, or ticked, one sample at a time. */
export function oneByOne(wish: PlanWish, starter: (id: string) => Scale) {
  const rounds = wish.rounds ?? 1;
  const repeats = { hiddenRepeats: wish.hiddenRepeats ?? 0 };
  const points = { smallest: { kind: 'points', value: 1 }, sides: 'two-sided' } as const;
  const profile: Plan['aim'] = 'profile';
  switch (wish.method) {
    case 'attribute-profile': {
      const scales = (wish.scales ?? ['brightness', 'bass']).map((scale) => {
        const whole = typeof scale === 'string' ? starter(scale) : scale;
        return { ...whole, definition: `What is meant by ${whole.name.toLowerCase()}` };
      });
      const scale = wish.scale ?? scales[0]?.id;
      return {
        aim: profile,
        question: 'What are they like?',
        spec: wish.spec ?? { scales, rounds },
        risks: points,
        controls: repeats,
        ...(scale === undefined ? {} : { scale }),
      };
    }
    case 'just-about-right': {
      const scales = (wish.attributes ?? ['bass', 'treble']).map((id) => ({
        id,
        name: nameOf(id),
        low: `too little ${id}`,
        high: `too much ${id}`,
      }));
      return {
        aim: wish.aim ?? profile,
        question: 'What should be changed?',
        spec: wish.spec ?? { scales, rounds },
        risks: points,
        controls: repeats,
        scale: wish.scale ?? 'liking',
      };
    }
    default: {
      const ids = wish.attributes ?? ['warm', 'bright', 'boomy'];
      const attributes = ids.map((id) => ({ id, name: nameOf(id) }));
      const spec = { attributes, ...(wish.liked && { liking: starter('liking') }), rounds };
      return {
        aim: profile,
        question: 'Which words fit?',
        spec: wish.spec ?? spec,
        risks: { smallest: { kind: 'ticked', value: 0.3 }, sides: 'two-sided' } as const,
        controls: repeats,
        scale: wish.scale ?? ids[0] ?? '',
      };
    }
  }
}

const nameOf = (id: string) => id.charAt(0).toUpperCase() + id.slice(1);
