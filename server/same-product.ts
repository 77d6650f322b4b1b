import type { ListenerId, StudyId } from '../shared/brands';
import { planOf } from './command';
import { productKey, productOf } from './products';
import type { Db } from './store/open';
import { allSeatedSittings } from './store/sittings';
import { findStudy, listStudies } from './store/studies';
import type { StudyRow } from './store/tables';

/** Three months: whoever was asked about a product within them knows it too well for a fresh answer (ISO 11136:2014, from memory). */
export const freshAgainDays = 92;
const day = 86_400_000;

/**
 * Who sat in another study of the same product lately, and how many whole days ago. Studies that this one goes on from
 * don't count: the same people are wanted there. Who says nothing of a sample but the name of a listener and a number.
 */
export async function heardProductLately(db: Db, study: StudyRow, now: Date): Promise<Map<ListenerId, number>> {
  const product = productOf(study);
  const found = new Map<ListenerId, number>();
  if (product === null) return found;
  const wanted = await beforeThis(db, study);
  for (const other of await listStudies(db)) {
    const theirs = productOf(other);
    if (other.id === study.id || wanted.has(other.id) || theirs === null) continue;
    if (productKey(theirs) !== productKey(product)) continue;
    for (const { listener_id, seated_at } of await allSeatedSittings(db, other.id)) {
      const ago = Math.floor((now.getTime() - Date.parse(seated_at ?? '')) / day);
      if (ago < 0 || ago >= freshAgainDays) continue;
      found.set(listener_id, Math.min(ago, found.get(listener_id) ?? ago));
    }
  }
  return found;
}

async function beforeThis(db: Db, study: StudyRow): Promise<Set<StudyId>> {
  const found = new Set<StudyId>();
  for (let one: StudyRow | undefined = study; one && one.state !== 'draft'; ) {
    const before = planOf(one).follows?.study as StudyId | undefined;
    if (!before || found.has(before)) break;
    found.add(before);
    one = await findStudy(db, before);
  }
  return found;
}
