import { hasLooks } from '../../protocols/looks';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

/** What stands against a verdict for all audiences together. */
export function poolingProblems(plan: Plan): Problem[] {
  if (!plan.pooling) return [];
  if (plan.audiences.length < 2) {
    const message = 'A verdict for all audiences together needs two audiences or more. Add one, or leave it out.';
    return [{ code: 'too-few', path: 'pooling', message, allowed: '2 audiences or more', got: '1' }];
  }
  // Whether audiences answer alike is told by all answers, which a look doesn't have.
  if (hasLooks(plan)) {
    const message =
      'Whether audiences may be taken together is told once, by all answers, so it can’t be decided by a look before the end. Take a study without looks, or no verdict for all together.';
    return [
      { code: 'not-together', path: 'pooling', message, allowed: 'no looks before the end', got: plan.looks.kind },
    ];
  }
  return [];
}
