import { comparedPlan } from '../../protocols/controls';
import { sittingsNeeded } from '../../protocols/more-sittings';
import { pooledPlan } from '../../protocols/pooling';
import type { AudienceResult } from '../../protocols/results';
import { verdictPlan } from '../../protocols/verdict-days';
import type { Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';

/** What would settle an open verdict: more listeners, or the same ones in more sittings. */
export function settledBy({ wouldSettle, n }: AudienceResult, plan: Plan): Result['wouldSettle'] {
  if (wouldSettle === null) return null;
  const asked = pooledPlan(verdictPlan(comparedPlan(plan)));
  return { ...wouldSettle, sittings: sittingsNeeded(asked, n.listeners, wouldSettle.listeners) };
}
