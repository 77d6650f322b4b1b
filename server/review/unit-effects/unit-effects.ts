import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import type { Material } from '../part-of-findings';

/** What units of one prototype differ by. Undefined where there is nothing to say. */
export function unitEffectsOf(_of: Material): UnitEffectsFindings[] | undefined {
  return undefined;
}
