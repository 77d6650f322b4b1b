import type { LedgerEntry } from '../../shared/record';
import { type Role, roles } from '../../shared/roles';

/** Who had which role in a study, as its ledger tells it: who was given it, and who did its work. */

type Told = Pick<LedgerEntry, 'kind' | 'actor' | 'body'>;

/** The work by which a role shows. */
const workOf: Record<string, Role> = {
  'study-created': 'designer',
  'plan-locked': 'designer',
  amended: 'designer',
  'sheet-opened': 'preparer',
  'session-opened': 'operator',
  seated: 'operator',
  'handed-over': 'operator',
  'trial-voided': 'operator',
  'study-closed': 'analyst',
  'blind-review-opened': 'analyst',
  excluded: 'analyst',
  unsealed: 'analyst',
  signed: 'approver',
  refused: 'approver',
};
/** Every kind of entry that says something about roles. */
export const roleKinds: readonly string[] = [...Object.keys(workOf), 'role-given', 'role-taken-away'];

export const nameOf = (actor: string): string => actor.replace(/^staff:/, '');

export interface RoleTold {
  role: Role;
  /** Who has it in the end; empty for one that was open to all. Whoever made the study is its designer. */
  given: string[];
  /** Who did its work. */
  did: string[];
}

/** In the order of the work; names in the order in which they came to it. */
export function rolesTold(ledger: readonly Told[]): RoleTold[] {
  const given = new Map<Role, Set<string>>(roles.map((role) => [role, new Set()]));
  const did = new Map<Role, Set<string>>(roles.map((role) => [role, new Set()]));
  for (const { kind, actor, body } of ledger) {
    if (kind === 'study-created') given.get('designer')?.add(nameOf(actor));
    if (kind === 'role-given') given.get(body.role as Role)?.add(String(body.staff));
    if (kind === 'role-taken-away') given.get(body.role as Role)?.delete(String(body.staff));
    const role = workOf[kind];
    if (role && actor.startsWith('staff:')) did.get(role)?.add(nameOf(actor));
  }
  return roles.map((role) => ({ role, given: [...(given.get(role) ?? [])], did: [...(did.get(role) ?? [])] }));
}

/** Whether one person alone planned a study and ran its desk, so that nobody else has looked at it. */
export function isAlone(told: readonly RoleTold[], name: string): boolean {
  const who = (role: Role) => told.find((one) => one.role === role)?.did ?? [];
  return (['designer', 'operator'] as const).every((role) => who(role).length === 1 && who(role)[0] === name);
}
