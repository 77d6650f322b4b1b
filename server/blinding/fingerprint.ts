import { createHash } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import type { StudyId } from '../../shared/brands';
import { ledgerAfter } from '../store/ledger';
import type { Db } from '../store/open';
import { readSignatures } from '../store/signatures';

/** So many entries are read before others get a turn: a few milliseconds. */
const inOneGo = 1_000;

/**
 * SHA-256 of all that the database has of a record as it stands there now, entries and signatures. Whatever was worked
 * out of a record may be shown again as long as this is the same: a row that was changed by hand makes another. Others
 * get their turn meanwhile.
 */
export async function fingerprintOf(db: Db, study: StudyId): Promise<string> {
  const hash = createHash('sha256');
  // From before all that there may be: a hand may have written an entry before the first.
  for (let last = Number.NEGATIVE_INFINITY; ; ) {
    const rows = await ledgerAfter(db, study, last, inOneGo);
    for (const { seq, at, actor, kind, body, previous, hash: own } of rows) {
      // Lengths say where one ends, so that nothing can be moved from one place to the next unseen.
      hash.update(`${JSON.stringify([seq, at, actor, kind, previous, own, body.length])}${body}`);
    }
    if (rows.length < inOneGo) break;
    last = rows.at(-1)?.seq ?? last;
    await setImmediate();
  }
  hash.update(JSON.stringify(await readSignatures(db, study)));
  return hash.digest('hex');
}
