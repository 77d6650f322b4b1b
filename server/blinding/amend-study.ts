import type { Plan } from '../../shared/plan';
import type { Db } from '../store/open';
import { deleteSealedDraws } from '../store/secrets';
import { updateStudy } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { canonicalJson } from './canonical-json';
import { planHash } from './key';

/**
 * Puts the amended plan in the place of the one before. The commitment stays: it binds the seed and the plan as it was
 * locked. What was drawn for sessions in which nobody sat is dropped, so that each is drawn as a whole by one version;
 * what was drawn for those that were held stays as the carriers were loaded.
 */
export async function amendStudy(
  tx: Db,
  study: Pick<StudyRow, 'id' | 'plan_version'>,
  plan: Plan,
  held: readonly number[],
): Promise<{ planVersion: number; planHash: string }> {
  const amended = { planVersion: study.plan_version + 1, planHash: planHash(plan) };
  await deleteSealedDraws(tx, study.id, held);
  await updateStudy(tx, study.id, {
    title: plan.title,
    plan: canonicalJson(plan),
    plan_version: amended.planVersion,
    plan_hash: amended.planHash,
  });
  return amended;
}
