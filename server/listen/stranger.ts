import type { StaffId } from '../../shared/brands';
import { keyKnowers, staffBehindListener } from '../store/roles';
import { latestSitting } from '../store/sittings';
import type { Db, ListenerRow } from '../store/tables';

/**
 * Whether somebody of the staff who knows the key is signed in where the link of somebody else was opened. Whoever
 * joined from that browser as the same person is no stranger: what they still answer is taken, and flagged.
 */
export async function isStrangerWhoKnows(
  db: Db,
  { id }: Pick<ListenerRow, 'id'>,
  staff: StaffId | null,
): Promise<boolean> {
  if (staff === null) return false;
  const sitting = await latestSitting(db, id);
  if (!sitting || (await staffBehindListener(db, id)).includes(staff)) return false;
  return (await keyKnowers(db, sitting.study_id)).some((knower) => knower.id === staff);
}
