import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { pWords } from './figures';

/** Whether the audiences answered alike, and that nothing is pooled either way. Null with one audience. */
export function betweenAudiences({ interaction }: Pick<Findings, 'interaction'>, plan: Plan): string | null {
  if (plan.audiences.length < 2) return null;
  const apart = 'Each verdict above is about its own audience. Nothing is pooled.';
  if (interaction === null) {
    return `Whether audiences answer alike can’t be told: it takes two listeners in each of two audiences. ${apart}`;
  }
  const { p, permutations, of } = interaction;
  const compared = {
    share: `each listener’s share of ${plan.method.id === 'ranking' ? 'rankings that put the first ahead' : 'choices'} in the primary pair`,
    correct: 'each listener’s share of right answers',
    apart: 'how much oftener each listener said it where it was so than where it wasn’t',
    points: 'each listener’s difference in the primary pair and scale',
    ticked: 'how much oftener each listener ticked the word for the first of the primary pair',
  }[of];
  const test = `compared by ${compared}, audiences dealt to listeners anew in ${permutations.toLocaleString('en')} ways, p ${pWords(p)}`;
  return p <= plan.risks.alpha
    ? `The audiences answer differently (${test}). ${apart}`
    : `It isn’t shown that the audiences answer differently (${test}); that doesn’t make them alike. ${apart}`;
}
