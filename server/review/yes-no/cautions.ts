import type { Result, YesNo } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { askedAlone } from '../audience-figures';

/** What keeps answers of two kinds from being misread. */
export function yesNoCautions({ verdict, p }: Result, { dPrime, apart }: YesNo, plan: Plan): string[] {
  if (dPrime === null || p === null || verdict === 'not-enough-data') return [];
  if (verdict === 'difference-shown') {
    return [
      ...(dPrime.lower <= 0
        ? [
            'The interval reaches down to 0: it looks both ways and counts listeners, and the planned test looks one way and counts trials. The test decides.',
          ]
        : []),
      'This is about the panel as a whole. It doesn’t say how many of the listeners hear it.',
    ];
  }
  if (verdict !== 'undecided') return [];
  if (p <= plan.risks.alpha) return [askedAlone('the difference', plan)];
  return [
    ...(dPrime.lower > 0
      ? ['The interval leaves 0 out, though the planned test doesn’t: it is an estimate. The test decides.']
      : []),
    ...(apart !== null && apart.upper < 0
      ? [
          'Answers went the wrong way round more often than chance explains: look for a question that was misread, or samples that were swapped.',
        ]
      : []),
  ];
}
