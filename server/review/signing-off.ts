import type { LedgerEntry } from '../../shared/record';
import { isAlone, nameOf, type RoleTold } from '../blinding/who-did';
import { has, holdersOf } from '../roles/holders';
import { commandRights } from '../roles/rights';
import { namesSaid } from '../roles/role-words';
import type { Db, StudyRow } from '../store/tables';
import type { Staff } from '../web/visitor';

/** Whose signature a verdict waits for, and what that person has to answer for. */
export interface SigningOff {
  /** Null when the person who looks at it may sign; else who is waited for. */
  waitsFor: string | null;
  /** Planned the study and ran its desk, and nobody else did: wants a reason. */
  alone: boolean;
}

export async function signingOff(
  db: Db,
  study: StudyRow,
  told: readonly RoleTold[],
  staff: Staff,
): Promise<SigningOff> {
  const holders = await holdersOf(db, study);
  const right = commandRights.decide?.by;
  const mine = right !== undefined && right !== 'listener' && has(holders, staff.id, right);
  const approvers = namesSaid(holders.approver.map(({ name }) => name));
  return {
    waitsFor: mine ? null : approvers === '' ? 'Waits for an approver.' : `Waits for ${approvers}.`,
    alone: isAlone(told, staff.name),
  };
}

/** Why a verdict can't be signed as its record stands; null where it can. */
export function barredWords({ broken, keyFails }: { broken: number | null; keyFails: string | null }): string | null {
  if (broken !== null) {
    return `The record was changed at entry ${broken}. Nothing can be decided on it; take a backup from before.`;
  }
  return keyFails === null ? null : `The key isn’t verified, so this can’t be signed. ${keyFails}`;
}

/** Who signs a study that nobody else has looked at says so; the letter does, too. */
export function notIndependent(decision: LedgerEntry | undefined): string[] {
  const reason = decision?.kind === 'signed' ? decision.body.alone : undefined;
  if (typeof reason !== 'string') return [];
  return [`Not independent: ${String(decision?.body.name)} planned this study, ran its desk and signed it. ${reason}`];
}

/** Who was to judge the verdict and no longer was, once it could be read. */
export function approversTakenOut(ledger: readonly LedgerEntry[]): string[] {
  const unsealed = ledger.findIndex(({ kind }) => kind === 'unsealed');
  return ledger
    .slice(unsealed < 0 ? ledger.length : unsealed)
    .filter(({ kind, body }) => kind === 'role-taken-away' && body.role === 'approver')
    .map(
      ({ actor, body }) =>
        `After unsealing, ${nameOf(actor)} took the approver’s role away from ${String(body.staff)}.`,
    );
}
