import type { Plan } from '../../shared/plan';
import type { MethodFinds } from './finds-words';
import { samplesWords } from './finds-words';
import { turnsOf } from './minutes';

export function yesNoFinds(plan: Plan): MethodFinds {
  return {
    trialsWords: `${samplesWords(turnsOf(plan), plan)}.`,
    ifTruly: 'If d′ is',
    audiences: [],
    warnings: [],
    counted: '',
    assumptions: [],
  };
}
