import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { askedAlone } from '../audience-figures';

/** What keeps right answers from being misread: where test and interval part, and what the count can't tell. */
export function differenceCautions(result: Result, { heard }: Difference, plan: Plan): string[] {
  const { verdict, p } = result;
  if (heard === null || p === null) return [];
  if (verdict === 'difference-shown') {
    return [
      ...(heard.lower <= 0
        ? ['The interval reaches down to guessing: it looks both ways, and the planned test one way. The test decides.']
        : []),
      'This is about all trials together. It doesn’t say how many of the listeners hear it.',
    ];
  }
  return verdict === 'undecided' && p <= plan.risks.alpha ? [askedAlone('the difference', plan)] : [];
}
