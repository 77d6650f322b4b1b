import type { ListenerId, StaffId } from '../../shared/brands';
import { aliasKey } from '../account/listener-identity';
import { lookedAhead, lookedAtKey } from '../store/key-looks';
import { findListener } from '../store/listeners';
import { keyKnowers, staffBehindListener, studyRoles } from '../store/roles';
import { staffById } from '../store/staff';
import { openedSheet } from '../store/studies';
import type { Db, StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { isLoaded, membersWho } from './clashes';

/**
 * Whoever knows which sample is which is no listener of that study: who opened a sheet, had a code revealed, or is the
 * preparer. It holds in single-blind studies as well: there too the panel must not know.
 */

export interface Comer {
  /** Known to this server already, or not yet. */
  listener: ListenerId | null;
  /** Under which name somebody new comes. */
  alias?: string;
  /** Who is signed in as staff in the browser. */
  staff: string | null;
}

/** Who of the staff this would be, knowing the key; null for whoever may listen. */
export async function knowerBehind(
  db: Db,
  study: Pick<StudyRow, 'id'>,
  comer: Comer,
): Promise<{ id: StaffId; name: string } | null> {
  return comerAmong(db, await keyKnowers(db, study.id), comer);
}

/** Who of some of the staff this would be. */
export async function comerAmong<Person extends { id: StaffId; name: string }>(
  db: Db,
  people: readonly Person[],
  { listener, alias, staff }: Comer,
): Promise<Person | null> {
  if (people.length === 0) return null;
  const known = listener === null ? undefined : await findListener(db, listener);
  const key = known?.alias_key ?? aliasKey(alias ?? '');
  const behind: readonly string[] = known ? await staffBehindListener(db, known.id) : [];
  return (
    people.find(({ id, name }) => id === staff || behind.includes(id) || (key !== '' && aliasKey(name) === key)) ?? null
  );
}

/** `thanks`: by somebody's own honest answer. */
export const knowsTooMuch = (path = 'seen', thanks = false): Refusal =>
  new Refusal(
    'barred',
    `Whoever prepared these samples, or saw which is which, can’t listen in this study. ${thanks ? 'Thank you for saying so; tell' : 'Tell'} the desk.`,
    { path, next: { label: 'Back', url: '/j' } },
  );

/** @throws Refusal for a listener who knows the key, or a browser in which somebody who does is signed in */
export async function refuseKnower(db: Db, study: Pick<StudyRow, 'id'>, comer: Comer, path?: string): Promise<void> {
  if (await knowerBehind(db, study, comer)) throw knowsTooMuch(path);
}

/** Whether somebody has opened a sheet, or had a code revealed. */
export const hasSeenKey = async (db: Db, study: Pick<StudyRow, 'id'>, staff: StaffId): Promise<boolean> =>
  (await openedSheet(db, study.id, staff)) || (await lookedAtKey(db, study.id, staff));

/**
 * Why somebody can't run the desk of a study that is not single blind: a look or a word could tell. With codes of the
 * day one code that was revealed goes on to say what its carrier holds; with fresh carriers it is spent, unless it was
 * still to be handed over. Where the desk sees which answer is right, whoever listens doesn't run it.
 */
export async function barredFromDesk(
  db: Db,
  study: Pick<StudyRow, 'id' | 'state' | 'plan'>,
  staff: StaffId,
  codesStay: boolean,
  seesAnswers: boolean,
): Promise<'sheet' | 'code' | 'preparer' | 'panel' | null> {
  if (await openedSheet(db, study.id, staff)) return 'sheet';
  if (await (codesStay ? lookedAtKey : lookedAhead)(db, study.id, staff)) return 'code';
  const own = (await studyRoles(db, study.id)).filter(({ staff_id }) => staff_id === staff);
  if (isLoaded(study) && own.some(({ role }) => role === 'preparer')) return 'preparer';
  const person = seesAnswers ? await staffById(db, staff) : undefined;
  return person && (await membersWho(db, study, person)).length > 0 ? 'panel' : null;
}

export const deskBarWords = {
  sheet: 'You have opened the preparation sheet of this study',
  code: 'You have had a code of this study revealed',
  preparer: 'You are the preparer of this study',
  panel: 'You sit on the panel of this study, and its desk sees which answers are right',
} as const;
