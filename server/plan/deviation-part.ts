import type { Problem } from '../../shared/problem';
import { uncoveredLevels } from '../level-problems';
import type { Parts } from '../parts';
import type { StudyRow } from '../store/tables';
import { fieldOf, type Values } from '../web/forms';
import { planNow } from './plan-now';
import type { PlanPage } from './view-models';

/** What of the levels must be signed for if the draft is locked as it stands; null where nothing must. */
export async function deviationPart(
  parts: Parts,
  study: StudyRow,
  problems: readonly Problem[],
  typed: Values,
): Promise<PlanPage['deviation']> {
  const { plan } = planNow(study);
  if (!plan) return null;
  const open = await uncoveredLevels(parts.store.db, study.id, plan, parts.now());
  if (open.length === 0) return null;
  return {
    of: open.map(({ words }) => words),
    levels: `/studies/${study.id}/levels`,
    field: fieldOf(typed, problems, 'deviation'),
  };
}
