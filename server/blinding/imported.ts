import type { LedgerEntry } from '../../shared/record';

/**
 * The entry by which a study says that its answers were gathered elsewhere and brought in as a file: right after the
 * plan, before anything else. At any other place it is no such thing, and the order of steps doesn't hold.
 */
export function importedEntry(ledger: readonly LedgerEntry[]): LedgerEntry | null {
  const locked = ledger.findIndex(({ kind }) => kind === 'plan-locked');
  const next = locked < 0 ? undefined : ledger[locked + 1];
  return next?.kind === 'imported' ? next : null;
}

/** Why nobody can tell how such answers were drawn, handed out and given. */
export const gatheredElsewhere = 'the answers were gathered elsewhere and brought in as a file';
