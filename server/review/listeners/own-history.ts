import type { ListenerId } from '../../../shared/brands';
import type { TakenPart } from '../../own-figures';
import { studiesOf } from '../../store/listeners';
import type { Store } from '../../store/open';
import { attendedIn, takenPart } from './attendance';
import type { Steadiness } from './steadiness';

/** Where a listener took part, the newest first, and how steadily: for that listener alone. */
export async function ownHistory(
  { db }: Pick<Store, 'db'>,
  steadiness: Steadiness,
  listener: ListenerId,
): Promise<TakenPart[]> {
  const studies = await studiesOf(db, listener);
  const figures = await steadiness.of(studies);
  const found: TakenPart[] = [];
  for (const study of studies) {
    const own = (await attendedIn(db, study)).find((one) => one.listener === listener);
    const part = own && takenPart(own, figures.get(study.id) ?? 'sealed');
    if (part) found.push(part);
  }
  return found.sort((a, b) => b.last.localeCompare(a.last));
}
