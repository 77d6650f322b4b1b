import type { ImportedFindings } from '../../shared/findings-imported';
import type { LedgerEntry } from '../../shared/record';

/** Where answers were gathered elsewhere: what was brought. Undefined where they were given here. */
export function importedOf(_ledger: readonly LedgerEntry[]): ImportedFindings | undefined {
  return undefined;
}
