import type { StudyId } from '../../shared/brands';
import type { ControlKind } from '../../shared/plan';
import type { Db } from '../store/open';
import { allDraws, dataKeyFrom, seedOf } from './key';
import { KeyFile } from './seal';

/** The key as it is published on unsealing: by address, what stood behind every code. */
export interface PublishedKey {
  seed: string;
  key: {
    session: number;
    audience: string;
    ordinal: number;
    sitting: number;
    trials: {
      ordinal: number;
      practice: boolean;
      replaces: number | null;
      prototypes: string[];
      units: string[];
      codes: string[];
      /** Where the listener's page plays. */
      excerpt?: string;
      /** Of a control trial. */
      control?: ControlKind;
    }[];
  }[];
}

/** Opens the key of a closed study. Null when the passphrase is not the right one. */
export async function openKey(db: Db, study: StudyId, passphrase: string): Promise<PublishedKey | null> {
  const dataKey = await dataKeyFrom(db, study, passphrase);
  return dataKey && publishedKey(db, study, dataKey);
}

/** All that was drawn so far. */
export async function publishedKey(db: Db, study: StudyId, dataKey: Buffer): Promise<PublishedKey> {
  const seed = await seedOf(db, study, dataKey);
  const draws = await allDraws(db, study, dataKey);
  return {
    seed: seed.toString('hex'),
    key: draws.map(({ session, audience, ordinal, sitting, trials }) => ({
      session,
      audience,
      ordinal,
      sitting,
      trials: trials.map(({ design, units, codes, excerpt }) => ({
        ordinal: design.ordinal,
        practice: design.practice,
        replaces: design.replaces,
        prototypes: design.presentations,
        units,
        codes,
        ...(excerpt === undefined ? {} : { excerpt }),
        ...(design.control === undefined ? {} : { control: design.control }),
      })),
    })),
  };
}

/** From closing on the server can no longer open the key by itself. */
export const forgetWorkingKey = (folder: string, study: StudyId): void => new KeyFile(folder, study).destroy();
