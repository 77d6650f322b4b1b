import { methodOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';

/**
 * Whether an answer of a method about a difference was right. Where yes and no are asked that hangs on what was heard: two
 * that differ, or the sample that was learnt, are a yes.
 */
export function isRight({ prototypes: [first, second], value }: Outcome, plan: Plan): boolean {
  if (methodOf(plan).form.kind !== 'yes-no') return value === 1;
  const yes = second === undefined ? first === plan.primary.first : first !== second;
  return yes === (value === 1);
}
