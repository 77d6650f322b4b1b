import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { Material } from '../part-of-findings';

/** How each listener answers. Undefined where there is nothing to say. */
export function listenersOf(_of: Material): ListenersFindings[] | undefined {
  return undefined;
}
