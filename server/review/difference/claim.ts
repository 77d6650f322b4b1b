import { methodOf, protocolOf } from '../../../protocols/index';
import type { DifferenceDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { about } from '../figures';
import { nameIn } from '../plan-names';

/** What a plan asks whether it is heard, in the words of its method: a difference, or that one has more of something. */
export interface Claim {
  /** "the difference between A and B is heard"; of a directional method "A is heard to have more bass than B". */
  whether: string;
  /** As a finding of its own. */
  shown: string;
  /** As a noun. */
  noun: string;
  /** The same where both were named just before. */
  brief: string;
  /** Where a method asks one way only: the other way. */
  reverse: string | null;
}

export function claimOf(plan: Plan): Claim {
  const [first, second] = [plan.primary.first, plan.primary.second].map(nameIn(plan));
  const { form } = methodOf(plan);
  const attribute = form.kind === 'pick-one' ? form.attribute : undefined;
  if (attribute === undefined) {
    const noun = `the difference between ${first} and ${second}`;
    return { whether: `${noun} is heard`, shown: `${noun} is heard`, noun, brief: 'the difference', reverse: null };
  }
  return {
    whether: `${first} is heard to have more ${attribute} than ${second}`,
    shown: `${first} has more ${attribute} than ${second}, and it is heard`,
    noun: `the difference in ${attribute} between ${first} and ${second}`,
    brief: `the difference in ${attribute}`,
    reverse: `${second} has more ${attribute} than ${first}`,
  };
}

/** Right answers beside what guessing gives. */
export function rightWords({ correct, trials }: Pick<DifferenceDetail, 'correct' | 'trials'>, plan: Plan): string {
  const chance = protocolOf(plan.method.id).chance ?? 0;
  return `${correct} of ${trials} answers were right, where guessing alone gives ${about(chance * trials)} on average`;
}
