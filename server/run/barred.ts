import type { StaffId } from '../../shared/brands';
import { deskSay } from '../../shared/words/desk';
import { codesStay, deskSeesAnswers, isSingleBlind } from '../command';
import { barredFromDesk } from '../roles/knowers';
import type { Db } from '../store/open';
import type { StudyRow } from '../store/tables';

/** What somebody reads who may not see the desk nor its panel, knowing the key; null for everybody else. */
export async function barredFrom(db: Db, study: StudyRow, staff: StaffId): Promise<{ sentence: string } | null> {
  const why = isSingleBlind(study)
    ? null
    : await barredFromDesk(db, study, staff, codesStay(study), deskSeesAnswers(study));
  return why === null ? null : { sentence: deskSay(`barred.${why}`) };
}
