import type { StaffId } from '../../shared/brands';
import { type Role, roles } from '../../shared/roles';
import { studyRoles } from '../store/roles';
import { staffById } from '../store/staff';
import type { Db, StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { type Room, roomRoles, rooms } from './rights';
import { namesSaid, rolesSaid, roleWords } from './role-words';

export interface Holder {
  id: StaffId;
  name: string;
}

/** Who has which role in a study. A role without anybody is open. */
export type Holders = Readonly<Record<Role, readonly Holder[]>>;

/** Whoever makes a study is its designer, also where that was never written down. */
export async function holdersOf(
  db: Db,
  study: Pick<StudyRow, 'id' | 'created_by'>,
  given?: Awaited<ReturnType<typeof studyRoles>>,
): Promise<Holders> {
  const found: Record<Role, Holder[]> = { designer: [], preparer: [], operator: [], analyst: [], approver: [] };
  for (const { role, staff_id, name } of given ?? (await studyRoles(db, study.id))) {
    found[role].push({ id: staff_id, name });
  }
  if (found.designer.length === 0) {
    const maker = await staffById(db, study.created_by);
    if (maker) found.designer.push({ id: maker.id, name: maker.name });
  }
  return found;
}

export const heldBy = (holders: Holders, staff: string): Role[] =>
  roles.filter((role) => holders[role].some(({ id }) => id === staff));

/**
 * Whether somebody has one of these roles, or may take one that nobody was given. Whoever was given certain roles keeps
 * to them; the designer, who gives them, does not.
 */
export function has(holders: Holders, staff: string, wanted: readonly Role[]): boolean {
  const own = heldBy(holders, staff);
  if (wanted.some((role) => own.includes(role))) return true;
  const free = own.length === 0 || own.includes('designer');
  return free && wanted.some((role) => holders[role].length === 0);
}

export const roomsFor = (holders: Holders, staff: string, { state }: Pick<StudyRow, 'state'>): Room[] =>
  rooms.filter((room) => has(holders, staff, roomRoles(room, state)));

/** Says whose it is. */
export function notYours(
  study: Pick<StudyRow, 'id' | 'state'>,
  holders: Holders,
  staff: string,
  wanted: readonly Role[],
  what: string,
): Refusal {
  const who = wanted.flatMap((role) =>
    holders[role].length === 0
      ? []
      : [`${roleWords[role].name.toLowerCase()}: ${namesSaid(holders[role].map(({ name }) => name))}`],
  );
  const own = heldBy(holders, staff);
  const yours = own.length === 0 ? 'You have no role in this study.' : `You are ${rolesSaid(own)} of this study.`;
  const whose = who.length === 0 ? 'Nobody was given that role yet.' : `In this study that is ${who.join('; ')}.`;
  const ask = `Ask the designer, ${namesSaid(holders.designer.map(({ name }) => name))}, if you are to do it.`;
  const only = wanted.length === roles.length ? 'whoever has a role in it' : rolesSaid(wanted);
  return new Refusal('barred', `Only ${only} may ${what}. ${whose} ${yours} ${ask}`, {
    path: 'role',
    allowed: wanted.join(', '),
    got: own.join(', ') || 'none',
    ...(roomsFor(holders, staff, study).includes('team')
      ? { next: { label: 'Who does what', url: `/studies/${study.id}/team` } }
      : {}),
  });
}
