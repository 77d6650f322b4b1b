import type { PriceStepsFindings } from '../../../shared/findings-price-steps';
import type { Material } from '../part-of-findings';

/** What the step from one price class to the next buys. Undefined where there is nothing to say. */
export function priceStepsOf(_of: Material): PriceStepsFindings[] | undefined {
  return undefined;
}
