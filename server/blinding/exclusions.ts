import type { LedgerEntry } from '../../shared/record';
import { string } from './trial-story';

/** What people decided to leave out, by code or afterwards. Rules of the plan stand in the plan. */

export const excludable = ['trial', 'sitting', 'listener'] as const;
export type Excludable = (typeof excludable)[number];

export interface Exclusion {
  what: Excludable;
  id: string;
  reason: string;
  by: string;
  at: string;
  /** Before the codes were joined with prototypes, or with the verdict in sight. */
  decided: 'blind' | 'afterwards';
}

const kinds = ['excluded', 'exclusion-taken-back'];

/**
 * What is left out by the end of a ledger. Whether it was decided blind is told by where the entry stands and not by what
 * it says; what was decided blind stands from unsealing on, and everything from the decision on the verdict on.
 */
export function exclusionsOf(ledger: readonly LedgerEntry[]): Exclusion[] {
  const unsealed = ledger.find(({ kind }) => kind === 'unsealed')?.seq ?? Number.POSITIVE_INFINITY;
  let found: Exclusion[] = [];
  for (const { seq, at, actor, kind, body } of undecided(ledger)) {
    if (!kinds.includes(kind)) continue;
    const decided = seq < unsealed ? ('blind' as const) : ('afterwards' as const);
    const [what, id] = [string(body, 'what') as Excludable, string(body, 'id')];
    const same = (one: Exclusion) => one.what === what && one.id === id;
    if (kind === 'exclusion-taken-back') found = found.filter((one) => !same(one) || one.decided !== decided);
    else if (!found.some(same)) {
      found.push({ what, id, reason: string(body, 'reason'), by: actor.replace(/^staff:/, ''), at, decided });
    }
  }
  return found;
}

/** Before a decision, the last entry of these kinds in an unsealed study is the one that findings depend on. */
export const headKinds: readonly string[] = ['unsealed', ...kinds];

/** The last entry that findings depend on: the unsealing, or what was left out after it and before the decision. */
export const findingsHead = (ledger: readonly LedgerEntry[]): LedgerEntry | undefined => {
  const from = ledger.findIndex(({ kind }) => kind === 'unsealed');
  return from < 0
    ? undefined
    : (undecided(ledger).findLast(({ kind }, i) => i > from && kinds.includes(kind)) ?? ledger[from]);
};

function undecided(ledger: readonly LedgerEntry[]): readonly LedgerEntry[] {
  const decision = ledger.findIndex(({ kind }) => kind === 'signed' || kind === 'refused');
  return decision < 0 ? ledger : ledger.slice(0, decision);
}
