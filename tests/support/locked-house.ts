import { lockStudy, prepareLock } from '../../server/blinding/lock';
import { recordSigned, signingPublicKey } from '../../server/blinding/signing';
import { newId } from '../../server/ids';
import { toolVersion } from '../../server/root';
import { listStaff } from '../../server/store/staff';
import { insertStudy } from '../../server/store/studies';
import type { StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { ada, openHouse, passphrase } from './driver';

/** A house in which Ada has locked a plan just as it is, past the plan page. */
export async function lockedHouse(plan: Plan) {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const { at } = house.clock;
  const study = newId<StudyId>(at);
  const locked = await prepareLock(study, plan, passphrase);
  const [lead] = await listStaff(house.store.db);
  if (!lead) throw new Error('Nobody is there to lock the plan.');
  await house.store.write(async (tx) => {
    await insertStudy(tx, {
      id: study,
      title: plan.title,
      state: 'draft',
      plan: '{}',
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: lead.id,
      created_at: at.toISOString(),
      single_blind: null,
      version: 1,
    });
    await lockStudy(tx, house.folder, study, plan, locked);
    const { planHash, commitment } = locked;
    await recordSigned(tx, house.folder, study, {
      at,
      actor: `staff:${ada.name}`,
      kind: 'plan-locked',
      body: {
        plan,
        planVersion: 1,
        planHash,
        commitment,
        signingKey: signingPublicKey(house.folder),
        tool: toolVersion,
      },
    });
  });
  return { house, desk, id: study, study: `/studies/${study}` };
}
