import { join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { recordOf } from '../../blinding/record';
import { readingDatabase } from '../../store/backup';
import { databaseName } from '../../store/open';
import { traceOf } from '../../web/trace';
import { readingOf } from './reading';
import type { FromThread, ReadingOrder } from './thread';

/**
 * A thread that reads one record and says what it found, part by part; `thread.ts` starts it. It has a connection of its
 * own, so that not even the reading holds up whoever is at a phone.
 */

const { folder, study, known } = workerData as ReadingOrder;
const say = (message: FromThread) => parentPort?.postMessage(message);

try {
  say({ part: 'record' });
  const record = await readingDatabase(join(folder, databaseName), (db) => recordOf(db, study));
  const reading = readingOf(record, { known, hears: (part) => say({ part }) });
  // Who asked has these findings already.
  say({ reading: known && reading.findings === known.findings ? { ...reading, findings: null } : reading });
} catch (error) {
  say({ failed: traceOf(error) });
}
