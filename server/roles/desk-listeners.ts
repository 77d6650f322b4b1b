import type { StaffId } from '../../shared/brands';
import { deskSeesAnswers } from '../command';
import { listStaff } from '../store/staff';
import type { Db, StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { ranDesk } from './clashes';
import { holdersOf } from './holders';
import { type Comer, comerAmong } from './knowers';

/** Where the desk sees which answer is right, whoever runs it doesn't listen. */

/** Who of the desk this would be; null for whoever may listen. */
export async function deskBehind(db: Db, study: StudyRow, comer: Comer): Promise<{ id: StaffId; name: string } | null> {
  if (!deskSeesAnswers(study)) return null;
  const { operator } = await holdersOf(db, study);
  const behind = await comerAmong(db, await listStaff(db), comer);
  if (!behind) return null;
  return operator.some(({ id }) => id === behind.id) || (await ranDesk(db, study, behind)) ? behind : null;
}

/** @throws Refusal for whoever runs the desk */
export async function refuseDesk(db: Db, study: StudyRow, comer: Comer): Promise<void> {
  if (!(await deskBehind(db, study, comer))) return;
  throw new Refusal(
    'barred',
    'Whoever runs the desk of this study can’t listen in it: there it shows which answers are right. Tell the desk.',
    { path: 'seen', next: { label: 'Back', url: '/j' } },
  );
}
