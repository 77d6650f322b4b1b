import type { StudyId } from '../../shared/brands';
import type { Db } from '../store/open';
import { entriesOf } from './amendments';

/**
 * When an amendment made the sheet of a session worthless: its codes may stand on carriers still, and mean other samples
 * by now. Null where there was none since, or the sheet was opened anew.
 */
export async function sheetOutdatedAt(db: Db, study: StudyId, session: number): Promise<string | null> {
  const entries = await entriesOf(db, study, ['amended', 'sheet-opened']);
  const amended = entries.findLast(({ kind }) => kind === 'amended');
  const sheet = entries.findLast(({ kind, body }) => kind === 'sheet-opened' && body.session === session);
  return amended && sheet && sheet.seq < amended.seq ? amended.at : null;
}
