import type { Request } from 'express';
import { levelsCount, type Plan, plays } from '../../shared/plan';
import { roomsOpen } from '../roles/gate';
import type { StudyRow } from '../store/tables';

/** The pages of this room, for whoever may see them. */
export interface PrepareNav {
  label: string;
  url: string;
  current: boolean;
}

export type PreparePlace = 'prepare' | 'sound' | 'levels' | 'listening-level';

/** @param plan null while the draft is no plan yet: then all of them are offered */
export function prepareNav(
  req: Request,
  study: Pick<StudyRow, 'id'>,
  plan: Pick<Plan, 'playback'> | null,
  here: PreparePlace,
): PrepareNav[] {
  const places: [PreparePlace, string, boolean][] = [
    ['prepare', 'Sheets', roomsOpen(req).includes('prepare') && plan?.playback !== 'renders'],
    ['sound', 'Sound', plan === null || plays(plan)],
    ['levels', 'Levels', plan === null || levelsCount(plan)],
    ['listening-level', 'Listening level', plan?.playback !== 'none'],
  ];
  return places
    .filter(([place, , offered]) => offered || place === here)
    .map(([place, label]) => ({ label, url: `/studies/${study.id}/${place}`, current: place === here }));
}
