import type { StudyId } from '../../shared/brands';
import type { Db, SignatureRow } from './tables';

export const insertSignature = (tx: Db, row: SignatureRow) => tx.insertInto('signature').values(row).execute();

export const readSignatures = (db: Db, study: StudyId): Promise<SignatureRow[]> =>
  db.selectFrom('signature').selectAll().where('study_id', '=', study).orderBy('seq').execute();
