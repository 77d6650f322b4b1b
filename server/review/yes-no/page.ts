import type { Result, YesNo } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chancePercent, decimals } from '../../number-words';
import { pWords } from '../figures';
import type { YesNoPart } from '../view-models';
import { inOrder, ratesChart } from './chart';
import { moreInHundred, rateWords } from './figures';
import { kindsOf } from './kinds';

/** What answers of two kinds have beside the figures of every verdict: rates, leaning, misses, and each listener. */
export function yesNoPart(result: Result, yesNo: YesNo, plan: Plan): YesNoPart {
  const { signalShort, noiseShort, yes } = kindsOf(plan);
  const { hitRate, falseAlarmRate, apart, misses, listeners } = yesNo;
  return {
    chart: ratesChart(yesNo, plan),
    yes,
    signal: signalShort,
    noise: noiseShort,
    counts:
      result.n.trials === 0
        ? []
        : [
            { label: signalShort, value: rateWords(hitRate) },
            { label: noiseShort, value: rateWords(falseAlarmRate) },
            {
              label: 'Said oftener, over listeners',
              value: apart
                ? `${moreInHundred(apart.value)} (${decimals(100 * apart.lower, 0)} to ${decimals(100 * apart.upper, 0)})`
                : '–',
            },
            {
              label: `So far apart or further, if nobody hears it (p${plan.audiences.length > 1 ? ', uncorrected' : ''})`,
              value: pWords(result.p),
            },
          ],
    leaning: leaningWords(yesNo, plan),
    misses: misses.map(({ dPrime, miss }) => ({
      dPrime: decimals(dPrime),
      // So little that it is 0 to the last digit is still no certainty.
      miss: chancePercent(miss || Number.EPSILON),
      planned: Math.abs(dPrime - plan.risks.smallest.value) < 1e-9,
    })),
    listeners: inOrder(listeners).map((one) => ({
      listener: one.listener,
      signal: `${one.hits} of ${one.signalTrials}`,
      noise: `${one.falseAlarms} of ${one.noiseTrials}`,
    })),
  };
}

/** Which of the two answers the panel leans to; null where nothing tells, or it is near the middle. */
function leaningWords({ criterion }: YesNo, plan: Plan): string | null {
  if (criterion === null) return null;
  const { yes, no } = kindsOf(plan);
  const at = `(criterion ${decimals(criterion)}, where 0 is right most often)`;
  if (Math.abs(criterion) < plainLeaning) return `The panel leaned to neither answer ${at}.`;
  return `The panel leaned toward ${criterion > 0 ? no : yes} ${at}. That is a habit, and the test is made so that it can’t move the verdict.`;
}

/** In standard deviations: below it nobody would see a leaning in the rates. */
const plainLeaning = 0.2;
