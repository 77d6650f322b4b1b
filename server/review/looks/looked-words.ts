import type { LedgerEntry } from '../../../shared/record';
import { type LookTaken, looksIn } from '../../blinding/looks';
import { namesSaid } from '../../roles/role-words';

type Taken = Pick<LookTaken, 'by'>;

/** "Ada looked at how the answers stood, 3 times"; null where nobody did. */
export function lookedWords(ledger: readonly LedgerEntry[]): string | null {
  const taken = looksIn(ledger);
  return taken.length === 0 ? null : `${whoLooked(taken)} looked at how the answers stood, ${timesWords(taken.length)}`;
}

export const whoLooked = (taken: readonly Taken[]): string => namesSaid([...new Set(taken.map(({ by }) => by))]);

export const timesWords = (count: number): string => (count === 1 ? 'once' : `${count} times`);
