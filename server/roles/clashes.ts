import type { ListenerId, StaffId } from '../../shared/brands';
import type { Role } from '../../shared/roles';
import { aliasKey } from '../account/listener-identity';
import { ledgerBodies } from '../blinding/ledger';
import { planOf } from '../command';
import { memberships } from '../store/listeners';
import { keyKnowers } from '../store/roles';
import type { Db, StudyRow } from '../store/tables';
import { type Holders, heldBy } from './holders';

/** What one person can't be or do beside what they were or did, or the test is less blind for it. */

/** What only the desk does. */
const deskKinds = [
  'session-opened',
  'session-paused',
  'session-resumed',
  'session-closed',
  'seated',
  'seat-out',
  'seat-again',
  'check-in-again',
  'card-made',
  'handed-over',
  'taken-back',
  'trial-voided',
  'incident',
];

type Person = { id: StaffId; name: string };

export const ranDesk = async (db: Db, study: Pick<StudyRow, 'id'>, { name }: Person): Promise<boolean> =>
  (await ledgerBodies(db, study.id, deskKinds)).some((entry) => entry.actor === `staff:${name}`);

/** The members of a panel that are this person: by their browser now, by the one that joined, or by their name. */
export async function membersWho(
  db: Db,
  study: Pick<StudyRow, 'id'>,
  staff: Person,
  here: string | null = null,
): Promise<{ listener: ListenerId; known: boolean }[]> {
  const name = aliasKey(staff.name);
  return (await memberships(db, study.id))
    .filter(
      ({ listener_id, staff_id, alias_key }) => listener_id === here || staff_id === staff.id || alias_key === name,
    )
    .map(({ listener_id, staff_id }) => ({ listener: listener_id, known: staff_id !== null }));
}

/** Whether this person has run the desk or sits on the panel, so that to see the key would end the blindness. */
export const sawListeners = async (
  db: Db,
  study: Pick<StudyRow, 'id'>,
  staff: Person,
  here: string | null = null,
): Promise<boolean> => (await ranDesk(db, study, staff)) || (await membersWho(db, study, staff, here)).length > 0;

/** Whether somebody loads carriers. Where the server plays, whoever brings the files learns nothing of what plays when. */
export const isLoaded = (study: Pick<StudyRow, 'state' | 'plan'>): boolean =>
  study.state === 'draft' || planOf(study).handling !== 'server';

/**
 * Why a role given to somebody would make the study single blind, as the end of a sentence about them; null where it
 * would not.
 */
export async function singleBlindBy(
  db: Db,
  study: StudyRow,
  holders: Holders,
  staff: Person,
  role: Role,
): Promise<string | null> {
  const own = heldBy(holders, staff.id);
  const loads = isLoaded(study);
  if (role === 'preparer') {
    if (!loads) return null;
    if (own.includes('operator')) return 'is the operator';
    if (await ranDesk(db, study, staff)) return 'has run the desk';
    return (await membersWho(db, study, staff)).length > 0 ? 'sits on the panel' : null;
  }
  if (role !== 'operator') return null;
  if (loads && own.includes('preparer')) return 'is the preparer';
  return (await keyKnowers(db, study.id)).some(({ id }) => id === staff.id) ? 'has seen the key' : null;
}
