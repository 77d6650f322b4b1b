import type { Request, Response } from 'express';
import type { StudyId } from '../shared/brands';
import type { StudyState } from '../shared/states';
import { isSingleBlind, planOf } from './command';
import type { Parts } from './parts';
import { roomsOpen } from './roles/gate';
import type { Room } from './roles/rights';
import { findStudy } from './store/studies';
import type { StudyRow } from './store/tables';
import type { ProblemLine, StaffFrame, StudyHeader } from './web/page';
import { Refusal } from './web/refusal';
import { type Staff, staffFrame, staffOf } from './web/visitor';

/** What the pages of every room have in common. */

export const studyStateWords: Record<StudyState, string> = {
  draft: 'Draft',
  locked: 'Locked',
  running: 'Running',
  closed: 'Closed',
  unsealed: 'Unsealed',
  signed: 'Signed',
  refused: 'Refused',
};

/** The study in the address. @throws Refusal when there is none. */
export async function studyOf(parts: Parts, req: Request): Promise<StudyRow> {
  const study = await findStudy(parts.store.db, String(req.params.study) as StudyId);
  if (!study) throw new Refusal('not-found', 'There is no such study. Look it up on the first page.');
  return study;
}

/** Who is signed in; `requireStaff` stands before every page that calls this. */
export function signedIn(req: Request): Staff {
  const staff = staffOf(req);
  if (!staff) throw new Refusal('signed-out', 'Sign in first.');
  return staff;
}

export function blindWarning(study: StudyRow): string | null {
  if (!isSingleBlind(study)) return null;
  return study.single_blind === null
    ? `Single blind: by plan, whoever loads the carriers also ${planOf(study).handling === 'solo' ? 'hands them over' : 'runs the desk'}.`
    : `Single blind: ${study.single_blind}`;
}

function headerOf(study: StudyRow, tab: StudyHeader['tab'], open: readonly Room[]): StudyHeader {
  const may = (room: Room) => open.includes(room);
  return {
    id: study.id,
    title: study.title,
    state: study.state,
    stateWords: studyStateWords[study.state],
    tab,
    open: { plan: may('plan'), prepare: may('prepare'), run: may('run'), review: may('review'), team: may('team') },
    blindWarning: blindWarning(study),
  };
}

export function studyFrame(
  req: Request,
  res: Response,
  study: StudyRow,
  tab: StudyHeader['tab'],
  page: { title: string; notice?: string | null; problems?: ProblemLine[] },
): StaffFrame {
  return staffFrame(req, res, { ...page, study: headerOf(study, tab, roomsOpen(req)) });
}
