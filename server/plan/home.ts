import { holdersOf, roomsFor } from '../roles/holders';
import { allStudyRoles } from '../store/roles';
import { listStudies } from '../store/studies';
import type { Db } from '../store/tables';
import { studyStateWords } from '../study-page';
import { nextStep } from './next-step';
import type { HomePage } from './view-models';

/** Every study, and what this person can do next in it: for whoever has no part in one, only that it exists. */
export async function studyLines(db: Db, staff: string): Promise<HomePage['studies']> {
  const given = await allStudyRoles(db);
  const lines: HomePage['studies'] = [];
  for (const study of await listStudies(db)) {
    const holders = await holdersOf(
      db,
      study,
      given.filter(({ study_id }) => study_id === study.id),
    );
    lines.push({
      id: study.id,
      title: study.title,
      state: study.state,
      stateWords: studyStateWords[study.state],
      next: nextStep(study, roomsFor(holders, staff, study)),
    });
  }
  return lines;
}
