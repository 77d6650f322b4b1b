import type { Plan } from '../shared/plan';
import { comparedPlan } from './controls';
import { methodOf } from './index';
import { analysePooled, type Pooled, pools } from './pooling';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis } from './results';
import { isVerdictDay, verdictPlan } from './verdict-days';

/**
 * What the method of a plan says of its outcomes, as the plan wants it: of the days that count, and for all audiences
 * together where it asks for that. The one way to a verdict, for findings, dry runs and rehearsals alike.
 * @param outcomes of the whole plan, without controls
 */
export function analysed(
  outcomes: readonly Outcome[],
  plan: Plan,
  options: AnalyseOptions = {},
): Analysis & { pooled: Pooled | null } {
  const { protocol } = methodOf(plan);
  const counted = outcomes.filter((one) => isVerdictDay(one, plan));
  const asked = verdictPlan(comparedPlan(plan));
  // What time does is told by all days, whichever the verdict counts.
  const overAll =
    plan.verdictDays && !options.verdictOnly ? protocol.analyse(outcomes, comparedPlan(plan), options) : null;
  const found = pools(plan)
    ? analysePooled((own, of, how) => protocol.analyse(own, of, how), counted, asked, options)
    : { ...protocol.analyse(counted, asked, options), pooled: null };
  return overAll ? { ...found, habituation: overAll.habituation } : found;
}
