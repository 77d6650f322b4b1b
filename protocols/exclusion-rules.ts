import { type ExclusionRule, exclusionRules } from '../shared/plan';
import type { Form } from './form';

/** Marks that answers of any method can bear: of the whole sitting, or by what became known of the key. */
const always: readonly ExclusionRule[] = ['marked', 'outside-listening', 'revealed', 'saw-key'];

/**
 * The rules by which a plan that asks with such a form may leave answers out. Times and interruptions are told of first
 * impressions alone, since only they have a window. No rule looks at what was answered: whoever disagrees stays in.
 */
export const exclusionRulesOf = ({ kind }: Pick<Form, 'kind'>): readonly ExclusionRule[] =>
  kind === 'scales' ? exclusionRules : always;
