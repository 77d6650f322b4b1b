import type { StaffId, StudyId } from '../../shared/brands';
import type { Db, KeyLookRow } from './tables';

export const insertKeyLook = (tx: Db, row: KeyLookRow) => tx.insertInto('key_look').values(row).execute();

const looked =
  (kinds: KeyLookRow['what'][]) =>
  async (db: Db, study: StudyId, staff: StaffId): Promise<boolean> =>
    (await db
      .selectFrom('key_look')
      .select('at')
      .where('study_id', '=', study)
      .where('staff_id', '=', staff)
      .where('what', 'in', kinds)
      .limit(1)
      .executeTakeFirst()) !== undefined;

/** Whether this person has had a code of this study revealed. */
export const lookedAtKey = looked(['code', 'code-ahead']);

/** Whether one of them was still to be handed over. */
export const lookedAhead = looked(['code-ahead']);
