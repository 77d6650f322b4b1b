import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Material } from '../part-of-findings';

/** What time did to the answer that the verdict is about. Undefined where there is nothing to say. */
export function overTimeOf(_of: Material): OverTimeFindings[] | undefined {
  return undefined;
}
