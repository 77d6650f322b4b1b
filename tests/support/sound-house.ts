import { lockStudy, prepareLock } from '../../server/blinding/lock';
import { recordSigned, signingPublicKey } from '../../server/blinding/signing';
import { bringAndMatch, bySound } from '../../server/demo/brought-sound';
import type { Arrival } from '../../server/demo/browser';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { noiseFor } from '../../server/demo/rehearsal-noise';
import { newId } from '../../server/ids';
import { toolVersion } from '../../server/root';
import type { Store } from '../../server/store/open';
import { listStaff } from '../../server/store/staff';
import { insertStudy } from '../../server/store/studies';
import type { StudyId } from '../../shared/brands';
import { levelsCount, type Plan, plays } from '../../shared/plan';
import { ada, openHouse, passphrase } from './driver';

/** A locked plan of any kind, whose sound is there and matched, run by Ada alone. */
export async function soundHouse(plan: Plan, watch?: (arrival: Arrival) => void) {
  const house = await openHouse(undefined, watch ? { watch } : {});
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const { study, recognise } = await lockedIn(house, desk, ada.name, plan, house.clock.at);
  return { house, desk, study, recognise };
}

/** Locks a plan of any kind as it is in a server under way, and brings its sound. */
export async function lockedIn(
  { store, folder }: { store: Store; folder: string },
  desk: DeskBrowser,
  lead: string,
  plan: Plan,
  at: Date,
) {
  const brought = plays(plan) ? noiseFor(plan) : [];
  const study = newId<StudyId>(at);
  const locked = await prepareLock(study, plan, passphrase);
  const [account] = await listStaff(store.db);
  if (!account) throw new Error('Nobody is there to lock the plan.');
  await store.write(async (tx) => {
    await insertStudy(tx, {
      id: study,
      title: plan.title,
      state: 'draft',
      plan: '{}',
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: account.id,
      created_at: at.toISOString(),
      single_blind: null,
      version: 1,
    });
    await lockStudy(tx, folder, study, plan, locked);
    const { planHash, commitment } = locked;
    const signingKey = signingPublicKey(folder);
    const body = { plan, planVersion: 1, planHash, commitment, signingKey, tool: toolVersion };
    await recordSigned(tx, folder, study, { at, actor: `staff:${lead}`, kind: 'plan-locked', body });
  });
  if (levelsCount(plan)) {
    await desk.noteLevels(`/studies/${study}`, { device: 'a coupler', method: 'at 1 kHz', ears: () => [94, 94] });
  }
  if (brought.length > 0) await bringAndMatch(desk, `/studies/${study}`, brought);
  return { study: `/studies/${study}`, recognise: bySound(brought) };
}
