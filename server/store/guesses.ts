import type { ListenerId, StudyId } from '../../shared/brands';
import type { Db, GuessRow } from './tables';

export const insertGuess = (tx: Db, row: GuessRow) => tx.insertInto('guess').values(row).execute();

/** What a listener said after everything in a study; each is asked once, whatever sittings come to be added. */
export const findGuess = (db: Db, study: StudyId, listener: ListenerId): Promise<GuessRow | undefined> =>
  db
    .selectFrom('guess')
    .innerJoin('sitting', 'sitting.id', 'guess.sitting_id')
    .selectAll('guess')
    .where('sitting.study_id', '=', study)
    .where('sitting.listener_id', '=', listener)
    .executeTakeFirst();
