import type { StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { Db, Store } from '../store/open';
import { insertSecret } from '../store/secrets';
import { listStudies, updateStudy } from '../store/studies';
import { canonicalJson } from './canonical-json';
import { dataKeyFrom, makeSecrets, planHash, type Secrets } from './key';
import { KeyFile } from './seal';

/** Locking as far as it concerns secrets. What comes back may be shown: two hashes. */
export interface Locked {
  planHash: string;
  commitment: string;
  secrets: Secrets;
}

/** Makes seed and keys; takes a while, since the passphrase is stretched. */
export async function prepareLock(study: StudyId, plan: Plan, passphrase: string): Promise<Locked> {
  const secrets = await makeSecrets(study, plan, passphrase);
  return { planHash: planHash(plan), commitment: secrets.commitment, secrets };
}

/** Writes what was prepared. The working key is on disk before the plan counts as locked. */
export async function lockStudy(tx: Db, folder: string, study: StudyId, plan: Plan, locked: Locked): Promise<void> {
  new KeyFile(folder, study).write(locked.secrets.dataKey);
  await insertSecret(tx, {
    study_id: study,
    sealed_key: locked.secrets.sealedKey,
    sealed_seed: locked.secrets.sealedSeed,
  });
  await updateStudy(tx, study, {
    state: 'locked',
    title: plan.title,
    plan: canonicalJson(plan),
    plan_version: 1,
    plan_hash: locked.planHash,
    commitment: locked.commitment,
  });
}

export interface PassphraseTried {
  right: boolean;
  /** Puts the working key back where its file is gone, and says whether it was. Only while the study is locked or running. */
  putKeyBack(): boolean;
}

/** Whether a passphrase is the one of this study; takes a while. */
export async function tryPassphrase(
  { db, folder }: Pick<Store, 'db' | 'folder'>,
  study: StudyId,
  passphrase: string,
): Promise<PassphraseTried> {
  const dataKey = await dataKeyFrom(db, study, passphrase);
  return {
    right: dataKey !== null,
    putKeyBack() {
      const file = new KeyFile(folder, study);
      if (!dataKey || file.read() !== null) return false;
      file.write(dataKey);
      return true;
    },
  };
}

/** Whether the server can work with the key of a study without its passphrase. */
export const hasWorkingKey = (folder: string, study: StudyId): boolean => new KeyFile(folder, study).read() !== null;

/** Destroys working keys that a crash left behind after their study was closed. */
export async function sweepKeys(db: Db, folder: string): Promise<void> {
  for (const study of await listStudies(db)) {
    if (study.state !== 'locked' && study.state !== 'running') new KeyFile(folder, study.id).destroy();
  }
}
