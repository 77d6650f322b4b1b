import type { AudienceFlow } from '../../shared/findings-flow';
import type { Material } from './part-of-findings';

/** Who came and what was lost, audience by audience. */
export function flowByAudience(_of: Material): AudienceFlow[] | undefined {
  return undefined;
}
