import type { Plan } from '../../../shared/plan';
import { planOf } from '../../command';
import type { StudyRow } from '../../store/tables';
import type { StaffFrame } from '../../web/page';
import type { ComputingPage, ComputingPart } from '../view-models';
import type { Computing } from './computings';
import { partsOf } from './parts';

/** What is shown instead of a letter that isn't computed yet. */
export function computingPage(frame: StaffFrame, study: StudyRow, found: Computing): ComputingPage {
  const base = `/studies/${study.id}/review`;
  const plan = planOf(study);
  return {
    ...frame,
    base,
    question: plan.question,
    part: found.state === 'computing' ? computingPart(plan, base, found) : null,
    ended: found.state === 'computing' ? null : found.state,
  };
}

/** How far it is; null for what isn't under way any more. */
export function computingPart(plan: Plan, base: string, found: Computing | null): ComputingPart {
  const parts = partsOf(plan);
  const at = found?.state === 'computing' ? parts.findIndex(({ part }) => part === found.part) : -1;
  return {
    base,
    playing: at >= 0,
    doing: parts[Math.max(0, at)]?.words ?? '',
    done: Math.max(0, at),
    of: parts.length,
    parts: parts.map(({ words }, i) => ({ words, state: i < at ? 'done' : i === at ? 'now' : 'to come' })),
  };
}
