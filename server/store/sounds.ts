import type { SittingId, StudyId, TrialId } from '../../shared/brands';
import { type SoundMatch, soundMatchSchema } from '../../shared/sound-match';
import type { Db, PresentationSoundRow, SoundCheckRow, SoundFileRow } from './tables';

/** What was matched last in a study; undefined when nothing was, or something was changed since. */
export async function findSoundMatch(db: Db, study: StudyId): Promise<SoundMatch | undefined> {
  const row = await db.selectFrom('sound_match').select('body').where('study_id', '=', study).executeTakeFirst();
  return row && soundMatchSchema.parse(JSON.parse(row.body));
}

export const insertPresentationSounds = (tx: Db, rows: PresentationSoundRow[]) =>
  tx.insertInto('presentation_sound').values(rows).execute();

export const presentationSoundsOf = (db: Db, trial: TrialId): Promise<PresentationSoundRow[]> =>
  db.selectFrom('presentation_sound').selectAll().where('trial_id', '=', trial).orderBy('presentation').execute();

export const findPresentationSound = (db: Db, token: string): Promise<PresentationSoundRow | undefined> =>
  db.selectFrom('presentation_sound').selectAll().where('token', '=', token).executeTakeFirst();

/** Takes the place of what was checked with another phone. */
export const putSoundCheck = (tx: Db, row: SoundCheckRow) =>
  tx
    .insertInto('sound_check')
    .values(row)
    .onConflict((on) => on.column('sitting_id').doUpdateSet(row))
    .execute();

/** What was checked says nothing of another phone, with other in-ears perhaps. */
export async function hasSoundCheck(db: Db, sitting: SittingId): Promise<boolean> {
  const row = await db
    .selectFrom('sound_check')
    .innerJoin('sitting', 'sitting.id', 'sound_check.sitting_id')
    .innerJoin('listener', 'listener.id', 'sitting.listener_id')
    .select(['body', 'device'])
    .where('sitting_id', '=', sitting)
    .executeTakeFirst();
  return row !== undefined && (JSON.parse(row.body) as { device?: string }).device === (row.device ?? '');
}

export const findSoundFile = (db: Db, sha256: string): Promise<SoundFileRow | undefined> =>
  db.selectFrom('sound_file').selectAll().where('sha256', '=', sha256).executeTakeFirst();
