import { recordSigned, signingPublicKey } from '../../server/blinding/signing';
import { newId } from '../../server/ids';
import { listStaff } from '../../server/store/staff';
import { insertStudy } from '../../server/store/studies';
import type { StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { Line } from '../blinding/hand-ledger';
import { ada, type House, openHouse } from './driver';

/**
 * A house in which a study lies unsealed that virtual listeners have played, as large as one likes: its ledger is written
 * line by line as it would have been, with signatures.
 */
export async function playedHouse(plan: Plan, lines: readonly Line[]) {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  return { house, desk, ...(await putUnsealed(house, plan, lines)) };
}

/** One more such study, by whoever has the first account. */
export async function putUnsealed({ store, clock, folder }: House, plan: Plan, lines: readonly Line[]) {
  const { at } = clock;
  const id = newId<StudyId>(at);
  const [lead] = await listStaff(store.db);
  if (!lead) throw new Error('Nobody is there to have planned it.');
  const locked = lines.find(([, kind]) => kind === 'plan-locked')?.[2] ?? {};
  await store.write(async (tx) => {
    await insertStudy(tx, {
      id,
      title: plan.title,
      state: 'unsealed',
      plan: JSON.stringify(plan),
      plan_version: 1,
      plan_hash: String(locked.planHash),
      commitment: String(locked.commitment),
      created_by: lead.id,
      created_at: at.toISOString(),
      single_blind: null,
      version: 1,
    });
    for (const [actor, kind, given] of lines) {
      const body = kind === 'plan-locked' ? { ...given, signingKey: signingPublicKey(folder) } : given;
      await recordSigned(tx, folder, id, { at, actor, kind, body });
    }
  });
  return { id, study: `/studies/${id}` };
}
