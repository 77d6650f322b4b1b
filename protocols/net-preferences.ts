import type { AudienceId, ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Evidence, Outcome } from './protocol';

/**
 * What looks count in a paired preference of two prototypes: one answer a listener, 1 where more of their answers were
 * for the prototype that the plan puts first, 0 where more were for the other. Whoever has no net preference gives none.
 *
 * A listener's net answer comes with the last of their planned answers. Of those who never gave all, what came counts,
 * after all others and only once no more can come (`running` left out): an answer that counts never changes any more.
 * p1 is the smallest share worth finding; listeners asked more than once lean to one side oftener than they answer so,
 * which only makes the test surer to find it.
 * @param outcomes in the order in which they came
 */
export function netPreferences(
  outcomes: readonly Outcome[],
  plan: Plan,
  audience: AudienceId,
  { running = false } = {},
): Evidence {
  const planned = (plan.method.spec as { turns: number }).turns * plan.sessions.count;
  const nets = new Map<ListenerId, { net: number; answers: number; last: number }>();
  outcomes.forEach((outcome, place) => {
    const { listener, prototypes, value } = outcome;
    if (outcome.audience !== audience) return;
    const own = nets.get(listener) ?? { net: 0, answers: 0, last: 0 };
    const forFirst = prototypes[0] === plan.primary.first ? value : -value;
    // What is put beyond the plan comes after the answer was settled.
    if (own.answers < planned) nets.set(listener, { net: own.net + forFirst, answers: own.answers + 1, last: place });
  });
  const inOrder = [...nets.values()].sort((a, b) => a.last - b.last);
  const settled = inOrder.filter(({ answers }) => answers >= planned);
  const short = running ? [] : inOrder.filter(({ answers }) => answers < planned);
  return {
    answers: [...settled, ...short].filter(({ net }) => net !== 0).map(({ net }) => (net > 0 ? 1 : 0)),
    p0: 1 / 2,
    p1: plan.risks.smallest.value,
    alternative: plan.risks.sides === 'one-sided' ? 'greater' : 'two-sided',
  };
}
