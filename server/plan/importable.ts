import { type Plan, planSchema } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { StudyRow } from '../store/tables';
import { candidate } from './candidate';
import { type Checked, checkPlan } from './check';
import { openDraft } from './saved-draft';

/**
 * What stands against drawing samples and handing them out here, and against nothing that was gathered elsewhere: codes
 * that would not suffice or would be known again, names that read like codes, and more prototypes than a sitting here has.
 */
const ofTheDraw: readonly Pick<Problem, 'code'>[] = [
  { code: 'too-many-codes' },
  { code: 'reads-like-code' },
  { code: 'not-hidden' },
];
const drawsOnly = ({ code, path }: Problem): boolean =>
  ofTheDraw.some((one) => one.code === code) || (code === 'too-many' && path === 'prototypes');

/** A plan that answers can be brought to, or all that stands against it. */
export function importablePlan(raw: unknown): Checked {
  const { plan, problems } = checkPlan(raw);
  if (plan) return { plan, problems: [] };
  const left = problems.filter((problem) => !drawsOnly(problem));
  if (left.length > 0) return { plan: null, problems: left };
  return { plan: planSchema.parse(raw), problems: [] };
}

/** The same of a draft as it stands. */
export const importableNow = (study: StudyRow): { plan: Plan | null; problems: readonly Problem[] } =>
  importablePlan(candidate(openDraft(study.plan)));
