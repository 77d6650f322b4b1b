import type { MeasuredFindings } from '../../../shared/findings-measured';
import type { LedgerEntry } from '../../../shared/record';
import type { Material } from '../part-of-findings';
import { mapsOf } from './maps';
import { responsesOf } from './responses';

/** Measured responses beside what was heard, and maps. Undefined where nothing was measured and there are too few to map. */
export function measuredOf(ledger: readonly LedgerEntry[], of: Material): MeasuredFindings | undefined {
  const responses = responsesOf(ledger, of);
  const maps = mapsOf(of);
  return responses || maps ? { ...(responses && { responses }), ...(maps && { maps }) } : undefined;
}
