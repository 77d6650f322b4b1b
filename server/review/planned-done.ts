import type { PlannedDone } from '../../shared/findings-done';
import type { LedgerEntry } from '../../shared/record';
import type { Material } from './part-of-findings';

/** What was planned against what was done, item by item. */
export function plannedDoneOf(_ledger: readonly LedgerEntry[], _of: Material): PlannedDone[] | undefined {
  return undefined;
}
