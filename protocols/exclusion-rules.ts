import { type ExclusionRule, exclusionRules } from '../shared/plan';
import type { Form } from './form';

/** Marks that answers of any method can bear: of the whole sitting, or by what became known of the key. */
const always: readonly ExclusionRule[] = ['marked', 'outside-listening', 'revealed', 'saw-key'];

/**
 * The rules by which a plan that asks with such a form may leave answers out. Times are told of first impressions alone,
 * since only they have a window; interruptions of these, and where the listener's page plays. No rule looks at what was
 * answered: whoever disagrees stays in.
 */
export function exclusionRulesOf(
  { kind }: Pick<Form, 'kind'>,
  { plays }: { plays: boolean },
): readonly ExclusionRule[] {
  if (kind === 'scales') return exclusionRules;
  return plays ? [...always, 'interrupted'] : always;
}
