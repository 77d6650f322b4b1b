import type { ListenerId } from '../../../shared/brands';
import { planOf } from '../../command';
import type { OwnFigures, TakenPart } from '../../own-figures';
import { memberships } from '../../store/listeners';
import type { Db } from '../../store/open';
import { sessionsOf } from '../../store/sessions';
import { allSeatedSittings } from '../../store/sittings';
import type { StudyRow } from '../../store/tables';
import type { StudyFigures } from './steadiness';

/** One listener's part in one study, as far as times go. */
export interface Attended {
  study: StudyRow;
  listener: ListenerId;
  alias: string;
  /** As the findings call this listener. */
  label: string;
  audience: string;
  done: number;
  planned: number;
  /** Of sittings, ISO 8601; null for whoever never sat. */
  first: string | null;
  last: string | null;
  /** Sessions that were held after joining, with sittings left, and without this listener. */
  missed: number;
}

/** Everybody who joined a study. Times and numbers of sittings alone: nothing of answers. */
export async function attendedIn(db: Db, study: StudyRow): Promise<Attended[]> {
  const { audiences, sessions } = planOf(study);
  const seated = await allSeatedSittings(db, study.id);
  const held = (await sessionsOf(db, study.id)).filter(({ id }) => seated.some(({ session_id }) => session_id === id));
  return (await memberships(db, study.id)).map(({ listener_id, alias, audience_id, ordinal, joined_at }) => {
    const own = seated.filter((one) => one.listener_id === listener_id);
    const audience = audiences.find(({ id }) => id === audience_id)?.name ?? '';
    const absent = held.filter(
      ({ id, closed_at }) =>
        closed_at !== null && closed_at > joined_at && !own.some(({ session_id }) => session_id === id),
    );
    return {
      ...{ study, listener: listener_id, alias, audience },
      label: `${audience} ${ordinal ?? '?'}`,
      done: own.length,
      planned: sessions.count,
      first: own[0]?.seated_at ?? null,
      last: own.at(-1)?.seated_at ?? null,
      missed: Math.min(absent.length, Math.max(0, sessions.count - own.length)),
    };
  });
}

export const ownFigures = (figures: StudyFigures, label: string): OwnFigures =>
  typeof figures === 'string' ? figures : (figures.get(label) ?? []);

/** The same for the listener's own page: without title, audience and name of anything. */
export function takenPart({ first, last, done, planned, label }: Attended, figures: StudyFigures): TakenPart | null {
  if (first === null || last === null) return null;
  return { first, last, done, planned, figures: ownFigures(figures, label) };
}
