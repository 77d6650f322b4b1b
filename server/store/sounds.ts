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

export const insertSoundCheck = (tx: Db, row: SoundCheckRow) => tx.insertInto('sound_check').values(row).execute();

export const hasSoundCheck = async (db: Db, sitting: SittingId): Promise<boolean> =>
  (await db.selectFrom('sound_check').select('sitting_id').where('sitting_id', '=', sitting).executeTakeFirst()) !==
  undefined;

export const findSoundFile = (db: Db, sha256: string): Promise<SoundFileRow | undefined> =>
  db.selectFrom('sound_file').selectAll().where('sha256', '=', sha256).executeTakeFirst();
