import type { AudienceResult, YesNoDetail } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { claimOf } from '../difference/claim';
import { capital, kindsOf } from './kinds';

/** Whether two are told apart by answers of two kinds: how often yes was said to the one and to the other, and d′. */
export function yesNoSentence(
  { verdict, n }: Pick<AudienceResult, 'verdict' | 'n'>,
  { hits, signalTrials, falseAlarms, noiseTrials, dPrime }: YesNoDetail,
  plan: Plan,
  audience: string,
): string {
  const { whether, shown } = claimOf(plan);
  if (verdict === 'not-enough-data' || dPrime === null) {
    const why =
      n.trials === 0
        ? 'no answer came in that counts'
        : `even the best answers to ${n.trials === 1 ? '1 trial' : `${n.trials} trials`} could not have shown it at α = ${plan.risks.alpha}${plan.audiences.length > 1 ? ' beside the other audiences' : ''}`;
    return `There are not enough data from ${audience} to say whether ${whether}: ${why}.`;
  }
  const { yes, signal, noise } = kindsOf(plan);
  const said = `${capital(yes)} was said in ${percent(hits / signalTrials)} ${signal} and in ${percent(falseAlarms / noiseTrials)} ${noise}`;
  const apart = `d′\u00a0=\u00a0${decimals(dPrime.value)} (${chosenPercent(dPrime.level)} interval ${decimals(dPrime.lower)} to ${decimals(dPrime.upper)})`;
  return verdict === 'difference-shown'
    ? `${audience}: ${shown}. ${said}: to the ear they are ${apart} apart.`
    : `${audience}: it is undecided whether ${whether}. ${said}: as if they were ${apart} apart to the ear.`;
}
