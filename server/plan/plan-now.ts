import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { planOf } from '../command';
import type { StudyRow } from '../store/tables';
import { candidate } from './candidate';
import { checkPlan } from './check';
import { openDraft } from './saved-draft';

/** The plan of a study as it stands: locked, or what locking its draft would make of it; null while that can't be. */
export function planNow(study: StudyRow): { plan: Plan | null; problems: readonly Problem[] } {
  if (study.state !== 'draft') return { plan: planOf(study), problems: [] };
  const { plan, problems } = checkPlan(candidate(openDraft(study.plan)));
  return { plan: plan ?? null, problems };
}
