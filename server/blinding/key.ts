import { randomBytes } from 'node:crypto';
import type { AudienceId, Code, StudyId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { Db } from '../store/open';
import { findSealedDraw, findSecret, insertSealedDraw, sealedDraws, updateSealedDraw } from '../store/secrets';
import { Refusal } from '../web/refusal';
import { canonicalJson } from './canonical-json';
import type { Draw, DrawnSitting } from './draw';
import { sha256 } from './hash';
import { KeyFile, openWithPassphrase, seal, sealWithPassphrase, unseal } from './seal';

/** The key: what joins a code to a unit. Nothing outside this folder may import this file. */

export interface Secrets {
  sealedKey: string;
  sealedSeed: string;
  commitment: string;
  dataKey: Buffer;
}

export const planHash = (plan: Plan): string => sha256(canonicalJson(plan));

/** SHA-256 of the seed and the hash of the plan: it binds the draw before the first answer and tells nothing of it. */
export const commitmentOf = (seed: Buffer, hash: string): string => sha256(seed, Buffer.from(hash, 'hex'));

/** A new seed and data key for a plan that is being locked. */
export async function makeSecrets(study: StudyId, plan: Plan, passphrase: string): Promise<Secrets> {
  const dataKey = randomBytes(32);
  const seed = randomBytes(32);
  return {
    dataKey,
    sealedKey: await sealWithPassphrase(passphrase, dataKey, `key:${study}`),
    sealedSeed: seal(dataKey, seed, `seed:${study}`),
    commitment: commitmentOf(seed, planHash(plan)),
  };
}

/** Opens a study's data key with the passphrase; null when it is the wrong one. */
export async function dataKeyFrom(db: Db, study: StudyId, passphrase: string): Promise<Buffer | null> {
  const secret = await findSecret(db, study);
  return secret ? openWithPassphrase(passphrase, secret.sealed_key, `key:${study}`) : null;
}

/** The data key that the server works with while the study runs. @throws Refusal when its file is gone. */
export function workingKey(folder: string, study: StudyId): Buffer {
  const key = new KeyFile(folder, study).read();
  if (!key) {
    throw new Refusal(
      'key-missing',
      `The working key of this study is missing from the data folder (keys/${study}.key), so no sample can be handed over. Nothing is lost. Put the file back, or let the preparer type the passphrase under Prepare, which puts it back too.`,
      { next: { label: 'Go to Prepare', url: `/studies/${study}/prepare` } },
    );
  }
  return key;
}

export async function seedOf(db: Db, study: StudyId, dataKey: Buffer): Promise<Buffer> {
  const secret = await findSecret(db, study);
  if (!secret) throw new Error(`Study ${study} has no seed.`);
  return unseal(dataKey, secret.sealed_seed, `seed:${study}`);
}

export async function drawOf(db: Db, study: StudyId, dataKey: Buffer, plan: Plan, planVersion: number): Promise<Draw> {
  return { seed: await seedOf(db, study, dataKey), planVersion, plan };
}

interface Place {
  study: StudyId;
  session: number;
  audience: AudienceId;
  ordinal: number;
}
const contextOf = (place: Place) => `draw:${place.study}:${place.session}:${place.audience}:${place.ordinal}`;

export async function loadDraw(db: Db, dataKey: Buffer, place: Place): Promise<DrawnSitting | null> {
  const row = await findSealedDraw(db, place.study, place.session, place.audience, place.ordinal);
  return row ? (JSON.parse(unseal(dataKey, row.sealed, contextOf(place)).toString()) as DrawnSitting) : null;
}

export async function saveDraw(tx: Db, dataKey: Buffer, place: Place, drawn: DrawnSitting): Promise<void> {
  const row = {
    study_id: place.study,
    session_number: place.session,
    audience_id: place.audience,
    ordinal: place.ordinal,
    sealed: seal(dataKey, Buffer.from(JSON.stringify(drawn)), contextOf(place)),
  };
  const there = await findSealedDraw(tx, place.study, place.session, place.audience, place.ordinal);
  await (there ? updateSealedDraw(tx, row) : insertSealedDraw(tx, row));
}

export interface KeyedSitting extends DrawnSitting {
  session: number;
  audience: AudienceId;
  ordinal: number;
}

/** Every sitting that was drawn, of one session or of all. */
export async function allDraws(db: Db, study: StudyId, dataKey: Buffer, session?: number): Promise<KeyedSitting[]> {
  const rows = await sealedDraws(db, study, session);
  return rows.map((row) => {
    const place = { study, session: row.session_number, audience: row.audience_id, ordinal: row.ordinal };
    const drawn = JSON.parse(unseal(dataKey, row.sealed, contextOf(place)).toString()) as DrawnSitting;
    return { session: place.session, audience: place.audience, ordinal: place.ordinal, ...drawn };
  });
}

/** Which unit sits in which carrier, within one session. */
export async function unitsByCode(
  db: Db,
  study: StudyId,
  dataKey: Buffer,
  session: number,
): Promise<Map<Code, UnitId>> {
  const map = new Map<Code, UnitId>();
  for (const sitting of await allDraws(db, study, dataKey, session)) {
    for (const trial of sitting.trials) {
      trial.codes.forEach((code, index) => {
        map.set(code, trial.units[index] as UnitId);
      });
    }
  }
  return map;
}
