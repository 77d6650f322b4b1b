import { isTaste } from '../../../protocols/ratings-by-listener';
import type { AudienceResult } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';

/**
 * A result without what holds listeners against the others where they were asked for their taste: whoever likes what the
 * others don't is no worse a listener for it.
 */
export function withoutJudgedTastes(result: AudienceResult, plan: Plan): AudienceResult {
  const { ratings } = result;
  if (!ratings?.raters || !isTaste(plan.primary.scale, plan)) return result;
  const { raters: _, ...rest } = ratings;
  return { ...result, ratings: rest, warnings: result.warnings.filter((key) => !key.startsWith('rater-')) };
}
