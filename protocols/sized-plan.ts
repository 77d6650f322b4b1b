import type { Plan } from '../shared/plan';
import { comparedPlan } from './controls';
import { pooledPlan } from './pooling';
import { verdictPlan } from './verdict-days';

/**
 * The plan as its verdict is sized: what is compared alone, with the sittings that count, and with all audiences together
 * as one audience more where the plan asks about them. For power, sizes and α; never for a draw, minutes or pages. Made
 * of itself it is itself.
 */
export function sizedPlan(plan: Plan): Plan {
  const { pooling: _pooling, verdictDays: _days, ...sized } = pooledPlan(verdictPlan(comparedPlan(plan)));
  return sized;
}
