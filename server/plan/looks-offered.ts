import { comparedIn } from '../../protocols/controls';
import { protocolOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';

/** Whether a plan may be looked at before its end: answers that count for or against one thing, each by itself. */
export function canBeLookedAt(plan: Pick<Plan, 'method' | 'aim' | 'prototypes' | 'controls'>): boolean {
  if (protocolOf(plan.method.id).evidence === undefined || plan.aim === 'similarity') return false;
  return comparedIn(plan).length === 2;
}
