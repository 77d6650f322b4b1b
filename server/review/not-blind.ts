import type { StaffId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import { ledgerBodies } from '../blinding/ledger';
import { actorName, deskSeesAnswers } from '../command';
import { ranDesk } from '../roles/clashes';
import { hasSeenKey } from '../roles/knowers';
import type { Db, StudyRow } from '../store/tables';

/**
 * What somebody knows who can't leave anything out blind: which sample is which; or which answers are right, where with
 * codes of the day the desk sees it, as by the third code of an ABX; or how far the answers speak, by a look on the way.
 */
export type Knowing = 'key' | 'third' | 'looks';

type Person = { id: StaffId; name: string };

/** What this person knows and has not answered for by a reason yet; null where the review of the data is blind or said. */
export async function unsaidKnowing(db: Db, study: StudyRow, staff: Person): Promise<Knowing | null> {
  const knows = await knowing(db, study, staff);
  if (knows === null) return null;
  const said = (await ledgerBodies(db, study.id, ['role-clash'])).some(
    ({ body }) => isReviewClash(body) && body.staff === staff.name && knowingIn(body) === knows,
  );
  return said ? null : knows;
}

async function knowing(db: Db, study: StudyRow, staff: Person): Promise<Knowing | null> {
  if (await hasSeenKey(db, study, staff.id)) return 'key';
  if (deskSeesAnswers(study) && (await ranDesk(db, study, staff))) return 'third';
  const looks = await ledgerBodies(db, study.id, ['looked']);
  return looks.some(({ actor }) => actor === actorName({ kind: 'staff', ...staff })) ? 'looks' : null;
}

/** What whoever reviews the data was before; the reviewer stands last. */
export const rolesOf = (knows: Knowing): string[] =>
  knows === 'looks' ? ['analyst'] : [knows === 'key' ? 'preparer' : 'operator', 'analyst'];

/** Whether a clash is about the review: of one that is about a role given the role stands last, and it is another. */
export const isReviewClash = (body: LedgerEntry['body']): boolean => (body.roles as string[]).at(-1) === 'analyst';

export function knowingIn({ roles }: LedgerEntry['body']): Knowing {
  const [first] = roles as string[];
  return first === 'operator' ? 'third' : first === 'analyst' ? 'looks' : 'key';
}

export const knowingWords: Record<Knowing, string> = {
  key: 'You have seen which sample is which',
  third: 'You have run the desk, where codes tell which answer is right',
  looks: 'You have looked at how the answers stand',
};
