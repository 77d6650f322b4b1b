import type { MeasuredFindings } from '../../../shared/findings-measured';
import type { LedgerEntry } from '../../../shared/record';
import type { Material } from '../part-of-findings';

/** Measured responses beside what was heard. Undefined where nothing was measured, or there is too little to compare. */
export function measuredOf(_ledger: readonly LedgerEntry[], _of: Material): MeasuredFindings | undefined {
  return undefined;
}
