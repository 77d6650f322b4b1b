import type { Request, RequestHandler } from 'express';
import type { StaffId, StudyId } from '../../shared/brands';
import type { Role } from '../../shared/roles';
import { findStudy } from '../store/studies';
import type { Db, StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { staffOf } from '../web/visitor';
import { type Holders, has, holdersOf, notYours, roomsFor } from './holders';
import { commandRights, narrower, type Room, roomRoles, rooms, routeRooms } from './rights';
import { namesSaid } from './role-words';

const openRooms = new WeakMap<Request, readonly Room[]>();
const holdersSeen = new WeakMap<Request, { staff: string; holders: Holders }>();

/** The rooms of the study in the address that this person may look into, as the gate found it. */
export const roomsOpen = (req: Request): readonly Room[] => openRooms.get(req) ?? rooms;

/** Whose a command is, by name, when it isn't this person's; null when it is. So that a page offers no more than it keeps. */
export function whoseElse(req: Request, command: string): string | null {
  const seen = holdersSeen.get(req);
  const by = commandRights[command]?.by;
  if (!seen || !by || by === 'listener' || has(seen.holders, seen.staff, by)) return null;
  const names = by.flatMap((role) => seen.holders[role].map(({ name }) => name));
  return namesSaid([...new Set(names)]);
}

const beforeUnsealing: readonly StudyRow['state'][] = ['draft', 'locked', 'running', 'closed'];

const roomNames: Record<Room, string> = {
  plan: 'see the plan',
  prepare: 'see Prepare',
  run: 'see the desk and its panel',
  review: 'see the review',
  team: 'see who does what in this study',
};

/** Who may look at a page of a study, by the first step of its path after the study. One without a line is nobody's. */
export function lookersAt(step: string, state: StudyRow['state']): { roles: readonly Role[]; what: string } | null {
  const room = Object.hasOwn(routeRooms, step) ? routeRooms[step] : undefined;
  if (!room) return null;
  const sealed = room === 'review' && beforeUnsealing.includes(state);
  return {
    roles: narrower[step] ?? roomRoles(room, state),
    what: `${roomNames[room]}${sealed ? ' before it is unsealed' : ''}`,
  };
}

/** Stands before the rooms: lets nobody look where none of their roles leads. What is done there asks once more. */
export function gate({ store }: { store: { db: Db } }): RequestHandler {
  return async (req, _res, next) => {
    const staff = staffOf(req);
    const study = staff && (await findStudy(store.db, String(req.params.study) as StudyId));
    if (!staff || !study) return next();
    const holders = await holdersOf(store.db, study);
    openRooms.set(req, roomsFor(holders, staff.id, study));
    holdersSeen.set(req, { staff: staff.id, holders });
    const step = req.path.split('/')[1] ?? '';
    // The study itself leads on to the first of its pages that this person may see.
    if (step === '' && roomsOpen(req).length > 0) return next();
    const looked = lookersAt(step === '' ? 'team' : step, study.state);
    if (!looked) throw new Refusal('not-found', 'This study has no such page.');
    if (!has(holders, staff.id, looked.roles)) throw notYours(study, holders, staff.id, looked.roles, looked.what);
    next();
  };
}

/** Whether somebody may hear that something changed at a desk. */
export async function mayWatchDesk(db: Db, id: StudyId, staff: StaffId): Promise<boolean> {
  const study = await findStudy(db, id);
  return study !== undefined && has(await holdersOf(db, study), staff, roomRoles('run', study.state));
}
