import type { ListenerId, StaffId } from '../../shared/brands';
import { aliasKey } from '../account/listener-identity';
import { lookedAhead, lookedAtKey } from '../store/key-looks';
import { findListener } from '../store/listeners';
import { keyKnowers, staffBehindListener, studyRoles } from '../store/roles';
import { openedSheet } from '../store/studies';
import type { Db, StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/**
 * Whoever knows which sample is which is no listener of that study: who opened a sheet, had a code revealed, or is the
 * preparer. It holds in single-blind studies as well: there too the panel must not know.
 */

interface Comer {
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
  { listener, alias, staff }: Comer,
): Promise<{ id: StaffId; name: string } | null> {
  const knowers = await keyKnowers(db, study.id);
  if (knowers.length === 0) return null;
  const known = listener === null ? undefined : await findListener(db, listener);
  const key = known?.alias_key ?? aliasKey(alias ?? '');
  const behind: readonly string[] = known ? await staffBehindListener(db, known.id) : [];
  return (
    knowers.find(({ id, name }) => id === staff || behind.includes(id) || (key !== '' && aliasKey(name) === key)) ??
    null
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
 * still to be handed over.
 */
export async function barredFromDesk(
  db: Db,
  study: Pick<StudyRow, 'id'>,
  staff: StaffId,
  codesStay: boolean,
): Promise<'sheet' | 'code' | 'preparer' | null> {
  if (await openedSheet(db, study.id, staff)) return 'sheet';
  if (await (codesStay ? lookedAtKey : lookedAhead)(db, study.id, staff)) return 'code';
  return (await studyRoles(db, study.id)).some(({ staff_id, role }) => staff_id === staff && role === 'preparer')
    ? 'preparer'
    : null;
}

export const deskBarWords = {
  sheet: 'You have opened the preparation sheet of this study',
  code: 'You have had a code of this study revealed',
  preparer: 'You are the preparer of this study',
} as const;
