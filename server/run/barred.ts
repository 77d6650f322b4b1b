import type { StaffId } from '../../shared/brands';
import { isSingleBlind } from '../command';
import type { Db } from '../store/open';
import { openedSheet } from '../store/studies';
import type { StudyRow } from '../store/tables';

/** What somebody reads who may not see the desk nor its panel, having opened a sheet; null for everybody else. */
export async function barredFrom(db: Db, study: StudyRow, staff: StaffId): Promise<{ sentence: string } | null> {
  if (isSingleBlind(study) || !(await openedSheet(db, study.id, staff))) return null;
  return {
    sentence:
      'You have opened the preparation sheet of this study, so its desk is not for you: a look or a word could tell. Let somebody else run it.',
  };
}
