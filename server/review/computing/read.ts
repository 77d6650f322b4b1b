import type { StudyId } from '../../../shared/brands';
import { recordOf } from '../../blinding/record';
import { lastLedger } from '../../store/ledger';
import type { Store } from '../../store/open';
import { type KnownFindings, type Reading, readingOf } from './reading';
import { type ReadingWatch, readInThread } from './thread';

/** A record of so many entries is read before anybody notices; more are read by a thread. */
const fewEntries = 1_500;

/** Reads a record as it stands now, its chain, key and findings anew: at once where it is small, else in a thread. */
export async function readNow(
  { db, folder }: Pick<Store, 'db' | 'folder'>,
  study: StudyId,
  { known, signal, hears }: ReadingWatch & { known?: KnownFindings | undefined } = {},
): Promise<Reading> {
  const last = await lastLedger(db, study);
  return (last?.seq ?? 0) <= fewEntries
    ? readingOf(await recordOf(db, study), { known })
    : await readInThread({ folder, study, known }, { signal, hears });
}
