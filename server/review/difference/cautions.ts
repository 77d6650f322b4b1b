import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { askedAlone } from '../audience-figures';
import { similarityCautions } from './similarity';

/** What keeps right answers from being misread: where test and interval part, and what the count can't tell. */
export function differenceCautions(result: Result, difference: Difference, plan: Plan): string[] {
  const { heard, heardOf, unevenP } = difference;
  const { verdict, p } = result;
  const { alpha } = plan.risks;
  if (plan.aim === 'similarity') return similarityCautions(result, difference, plan);
  if (heard === null || p === null) return [];
  const byListener = heardOf === 'average-listener';
  if (verdict === 'difference-shown') {
    return [
      ...(heard.lower <= 0
        ? [
            byListener
              ? 'The interval reaches down to guessing: it looks both ways and counts listeners, and the planned test looks one way and counts trials. The test decides.'
              : 'The interval reaches down to guessing: it looks both ways, and the planned test one way. The test decides.',
          ]
        : []),
      ...(unevenP !== null && unevenP <= alpha
        ? ['Listeners differ beyond luck: some hear it in more of their trials than others.']
        : []),
      `This is about ${byListener ? 'the average listener' : 'all trials together'}. It doesn’t say how many of the listeners hear it.`,
    ];
  }
  if (verdict !== 'undecided') return [];
  if (p <= alpha) return [askedAlone('the difference', plan)];
  return heard.lower > 0
    ? [
        'The interval leaves guessing out, though the planned test doesn’t: it is an estimate over listeners who may differ. The test decides.',
      ]
    : [];
}
