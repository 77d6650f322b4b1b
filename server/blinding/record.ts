import type { StudyId } from '../../shared/brands';
import type { StudyRecord } from '../../shared/record';
import { toolVersion } from '../root';
import type { Db } from '../store/open';
import { ledgerOf } from './ledger';

/** The whole study, to take away. All else is derived from its ledger. */
export async function recordOf(db: Db, study: StudyId): Promise<StudyRecord> {
  return {
    format: 'fair-hearing/record',
    version: 1,
    tool: { name: 'Fair Hearing', version: toolVersion },
    ledger: await ledgerOf(db, study),
    keys: { public: null },
    signatures: [],
    audio: [],
  };
}
