import type { StudyId } from '../../shared/brands';
import type { SoundMatch } from '../../shared/sound-match';
import type { Db, SoundFileRow, StudyCutRow, StudySoundRow } from './tables';

/** Which files a study has, where they are cut, and what was matched. */

/** The same file twice is one. */
export const putSoundFile = (tx: Db, row: SoundFileRow) =>
  tx
    .insertInto('sound_file')
    .values(row)
    .onConflict((on) => on.column('sha256').doNothing())
    .execute();

/** Takes the place of what was there for that excerpt and prototype. */
export const putStudySound = (tx: Db, row: StudySoundRow) =>
  tx
    .insertInto('study_sound')
    .values(row)
    .onConflict((on) => on.columns(['study_id', 'excerpt_id', 'prototype_id']).doUpdateSet(row))
    .execute();

export const removeStudySound = (tx: Db, study: StudyId, excerpt: string, prototype: string) =>
  tx
    .deleteFrom('study_sound')
    .where('study_id', '=', study)
    .where('excerpt_id', '=', excerpt)
    .where('prototype_id', '=', prototype)
    .execute();

/** Every file of a study. */
export const studySounds = (db: Db, study: StudyId) =>
  db
    .selectFrom('study_sound')
    .innerJoin('sound_file', 'sound_file.sha256', 'study_sound.sha256')
    .innerJoin('staff', 'staff.id', 'study_sound.staff_id')
    .select([
      ...(['excerpt_id', 'prototype_id', 'study_sound.sha256', 'study_sound.name', 'study_sound.at'] as const),
      ...(['bytes', 'format', 'rate', 'channels', 'frames', 'staff.name as by'] as const),
    ])
    .where('study_id', '=', study)
    .execute();

/** What was measured of them and how they look, by hash: kept apart, since it is large. */
export async function soundFacts(db: Db, study: StudyId): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('study_sound')
    .innerJoin('sound_file', 'sound_file.sha256', 'study_sound.sha256')
    .select(['sound_file.sha256', 'facts'])
    .where('study_id', '=', study)
    .execute();
  return new Map(rows.map(({ sha256, facts }) => [sha256, facts]));
}
export type StudySound = Awaited<ReturnType<typeof studySounds>>[number];

export const studyCuts = (db: Db, study: StudyId): Promise<StudyCutRow[]> =>
  db.selectFrom('study_cut').selectAll().where('study_id', '=', study).execute();

export const putStudyCut = (tx: Db, row: StudyCutRow) =>
  tx
    .insertInto('study_cut')
    .values(row)
    .onConflict((on) => on.columns(['study_id', 'excerpt_id']).doUpdateSet(row))
    .execute();

export const removeStudyCut = (tx: Db, study: StudyId, excerpt: string) =>
  tx.deleteFrom('study_cut').where('study_id', '=', study).where('excerpt_id', '=', excerpt).execute();

export const putSoundMatch = (tx: Db, study: StudyId, match: SoundMatch, at: Date) => {
  const row = { study_id: study, body: JSON.stringify(match), at: at.toISOString() };
  return tx
    .insertInto('sound_match')
    .values(row)
    .onConflict((on) => on.column('study_id').doUpdateSet(row))
    .execute();
};

/** Something was changed that the match rests on: it has to be made anew. Answers whether there was one. */
export const dropSoundMatch = async (tx: Db, study: StudyId): Promise<boolean> =>
  (await tx.deleteFrom('sound_match').where('study_id', '=', study).executeTakeFirst()).numDeletedRows > 0n;

export const soundMatchedAt = async (db: Db, study: StudyId): Promise<string | undefined> =>
  (await db.selectFrom('sound_match').select('at').where('study_id', '=', study).executeTakeFirst())?.at;
